package roster

import (
	"encoding/json"
	"fmt"
	"slices"
)

// record is what the store keeps of a person: the profile, and the digests of their invites and tokens, so that all
// of them can be ended without a search.
type record struct {
	Member
	Tokens  []string `json:"tokens,omitempty"`
	Invites []string `json:"invites,omitempty"` // used ones too

	raw string // as read from the store; "" for a person not written yet
}

// mostSecrets is how many tokens, and how many invites, a person has at most; the oldest ends when one more is made.
const mostSecrets = 32

func (r record) encode() (string, error) {
	b, err := json.Marshal(r)
	if err != nil {
		return "", fmt.Errorf("writing the profile of %s: %w", r.ID, err)
	}
	return string(b), nil
}

func decode(id string, raw []byte) (record, error) {
	var r record
	if err := json.Unmarshal(raw, &r); err != nil {
		return r, fmt.Errorf("reading the profile of %s: %w", id, err)
	}
	if r.ID != id {
		return r, fmt.Errorf("reading the profile of %s: it says it is %q", id, r.ID)
	}
	r.raw = string(raw)
	return r, nil
}

// withSecret returns list with one more digest, and those that had to end for it.
func withSecret(list []string, d string) (now, ended []string) {
	now = append(slices.Clone(list), d)
	if over := len(now) - mostSecrets; over > 0 {
		return now[over:], now[:over]
	}
	return now, nil
}
