package roster

import (
	"context"
	"crypto/aes"
	"crypto/cipher"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
	"time"
)

// onceOnly is one Idempotency-Key. The answer given under it holds invites, so it is kept sealed under the key itself,
// of which only a digest is kept.
type onceOnly struct {
	club, key string
	body      string    // digest of the list that came with it
	at        time.Time // of the request
}

// onceField leads the name under which an answer is kept among the invites.
const onceField = "once:"

// onceWords is how many words a kept answer has.
const onceWords = 4

// keepAnswers is how long an answer can be asked for again.
const keepAnswers = 7 * 24 * time.Hour

func (o onceOnly) field() string { return onceField + digest("key\x00"+o.club+"\x00"+o.key) }

func (o onceOnly) cipher() (cipher.AEAD, error) {
	mac := hmac.New(sha256.New, []byte(o.key))
	mac.Write([]byte("tallybell answer\x00" + o.club))
	block, err := aes.NewCipher(mac.Sum(nil))
	if err != nil {
		return nil, err
	}
	return cipher.NewGCMWithRandomNonce(block)
}

// seal writes what is kept: the digest of the list, the time in microseconds, the sealed answer, and the ids of those
// whom it names, in quotes, by which a forgotten member's answer is found.
func (o onceOnly) seal(invited []Invited) (string, error) {
	text, err := json.Marshal(invited)
	if err != nil {
		return "", err
	}
	aead, err := o.cipher()
	if err != nil {
		return "", err
	}
	ids := make([]string, len(invited))
	for i, m := range invited {
		ids[i] = strconv.Quote(m.ID)
	}
	sealed := base64.RawURLEncoding.EncodeToString(aead.Seal(nil, nil, text, []byte(o.body)))
	return strings.Join([]string{o.body, strconv.FormatInt(o.at.UnixMicro(), 10), sealed, strings.Join(ids, ",")}, " "), nil
}

// saidBefore returns the answer that was given under the key, nil when none was.
func (r *Roster) saidBefore(ctx context.Context, o onceOnly) ([]Invited, error) {
	if o.key == "" {
		return nil, nil
	}
	kept, err := r.store.Invite(ctx, o.field())
	if err != nil {
		return nil, fmt.Errorf("looking up the Idempotency-Key: %w", err)
	}
	if kept == "" {
		return nil, nil
	}
	words := strings.Fields(kept)
	if len(words) != onceWords {
		return nil, fmt.Errorf("the answer kept under the Idempotency-Key has %d words, not %d", len(words), onceWords)
	}
	body, sealed := words[0], words[2]
	if body != o.body {
		return nil, ErrKeyReused
	}
	aead, err := o.cipher()
	if err != nil {
		return nil, err
	}
	var invited []Invited
	text, err := base64.RawURLEncoding.DecodeString(sealed)
	if err == nil {
		text, err = aead.Open(nil, nil, text, []byte(o.body))
	}
	if err == nil {
		err = json.Unmarshal(text, &invited)
	}
	if err != nil {
		return nil, fmt.Errorf("reading the answer kept under the Idempotency-Key: %w", err)
	}
	return invited, nil
}

// Tidy ends the answers kept under an Idempotency-Key more than a week ago. It is run once a day.
func (r *Roster) Tidy(ctx context.Context, now time.Time) error {
	invites, err := r.store.Invites(ctx)
	if err != nil {
		return fmt.Errorf("reading kept answers: %w", err)
	}
	var old []string
	for field, kept := range invites {
		words := strings.Fields(kept)
		if !strings.HasPrefix(field, onceField) || len(words) != onceWords || len(old) == mostAdded {
			continue
		}
		at, err := strconv.ParseInt(words[1], 10, 64)
		if err == nil && now.Sub(time.UnixMicro(at)) > keepAnswers {
			old = append(old, field)
		}
	}
	if len(old) == 0 {
		return nil
	}
	var c change
	c.end(r.store.KeyInvites(), old)
	if _, err := r.store.Change(ctx, now, nil, c.cmds); err != nil {
		return fmt.Errorf("removing old answers: %w", err)
	}
	return nil
}
