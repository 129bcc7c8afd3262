package store

import (
	"fmt"
	"strings"
)

// Every key of a club begins with "{club}:", so that all of them live on one slot of a cluster
// and one script may touch them together.
func (c *Club) key(name string) string { return c.prefix + name }

// KeyClub is the hash of the number line: n, lastpost, format.
func (c *Club) KeyClub() string { return c.key("club") }

// KeyTops is the hash from member to the number of the last change that concerns them.
func (c *Club) KeyTops() string { return c.key("tops") }

// KeyMembers is the hash from member to their JSON profile.
func (c *Club) KeyMembers() string { return c.key("members") }

// KeyChanged is the sorted set of members by the number of the last change of their profile.
func (c *Club) KeyChanged() string { return c.key("changed") }

// KeyTokens is the hash from the SHA-256 of a token to the member's id.
func (c *Club) KeyTokens() string { return c.key("tokens") }

// KeyInvites is the hash from the SHA-256 of an invite to what it opens.
func (c *Club) KeyInvites() string { return c.key("invites") }

// KeySheets is the hash of a date's sheets: version to text, plus current and draft.
func (c *Club) KeySheets(date string) string { return c.key("sheets:" + date) }

// KeySheetDates is the set of dates that have a sheet; Change keeps it.
func (c *Club) KeySheetDates() string { return c.key("sheetdates") }

// KeyPosts is the stream of the club's posts.
func (c *Club) KeyPosts() string { return c.key("posts") }

// KeyPosted is the hash of a date's posts: once-id to number.
func (c *Club) KeyPosted(date string) string { return c.key("posted:" + date) }

// KeyBuckets is the hash from bucket to the latest date posted to it.
func (c *Club) KeyBuckets() string { return c.key("buckets") }

// KeyMail is the stream of what was said to one member alone.
func (c *Club) KeyMail(member string) string { return c.key("mail:" + member) }

// KeySaid is the hash from message id to "n digest" for a member's last 1,000 messages.
func (c *Club) KeySaid(member string) string { return c.key("said:" + member) }

// KeyLedger is the stream of a member's ledger, ids n-i.
func (c *Club) KeyLedger(member string) string { return c.key("ledger:" + member) }

// KeySeen is the hash from member to "received opened": how far they have come in their conversation.
func (c *Club) KeySeen() string { return c.key("seen") }

// KeyResults is the hash of a date's results: PART:KIND:MEMBER to record.
func (c *Club) KeyResults(date string) string { return c.key("results:" + date) }

// KeyResultDates is the set of dates that have a result; say keeps it.
func (c *Club) KeyResultDates() string { return c.key("resultdates") }

// KeyBoard is one board's sorted set.
func (c *Club) KeyBoard(b Board) string {
	return c.key("board:" + b.Date + ":" + b.Part + ":" + b.Kind + ":" + b.Division)
}

// KeyBoards is the set of a date's boards, each as PART:KIND:DIVISION; say keeps it.
func (c *Club) KeyBoards(date string) string { return c.key("boards:" + date) }

// keyImport is the hash of an import under way: whose it is, and what it has staged.
func (c *Club) keyImport() string { return c.key("import") }

func (c *Club) keyHints() string { return c.key("hints") }

// If and Do that most callers of Change need.

// IfTop holds while nothing that concerns the member has changed since number top.
func (c *Club) IfTop(member string, top int64) If {
	want := ""
	if top != 0 {
		want = itoa(top)
	}
	return If{Key: c.KeyTops(), Field: member, Want: want}
}

// IfUnheard holds while no message with this id was heard from the member.
func (c *Club) IfUnheard(member, id string) If { return If{Key: c.KeySaid(member), Field: id} }

// DoHeard remembers a message id with the digest of its text, as say does.
func (c *Club) DoHeard(member, id, digest string) Do {
	return Do{"HSET", c.KeySaid(member), id, "$n " + digest}
}

// DoMail adds a fact to a member's mail. id is the message it answers, or the once-only name of a notice.
func (c *Club) DoMail(member, id string, fact []byte) Do {
	return Do{"XADD", c.KeyMail(member), "$n-0", "id", id, "fact", string(fact), "ranks", ""}
}

// DoTop moves the member's last change to this one.
func (c *Club) DoTop(member string) Do { return Do{"HSET", c.KeyTops(), member, "$n"} }

// DoChanged marks the member's profile as changed now.
func (c *Club) DoChanged(member string) Do { return Do{"ZADD", c.KeyChanged(), "$n", member} }

// field is the name of a result in its date's hash.
func (f Field) field() string { return f.Part + ":" + f.Kind + ":" + f.Member }

func (f Field) check() error {
	return checkNames("result", f.Date, f.Part, f.Kind, f.Member)
}

func (b Board) check() error {
	return checkNames("board", b.Date, b.Part, b.Kind, b.Division)
}

// checkNames refuses what would blur the borders between the words of a key.
func checkNames(what string, names ...string) error {
	for _, n := range names {
		if n == "" || strings.ContainsAny(n, ":{}\x00\r\n") {
			return fmt.Errorf("store: a %s needs a date, part, kind and owner without ':' or braces, not %q", what, names)
		}
	}
	return nil
}

// parseField reads PART:KIND:MEMBER.
func parseField(date, s string) (Field, bool) {
	part, rest, ok := strings.Cut(s, ":")
	kind, member, ok2 := strings.Cut(rest, ":")
	if !ok || !ok2 || part == "" || kind == "" || member == "" {
		return Field{}, false
	}
	return Field{Date: date, Part: part, Kind: kind, Member: member}, true
}

// parseBoard reads PART:KIND:DIVISION.
func parseBoard(date, s string) (Board, bool) {
	f, ok := parseField(date, s)
	return Board{Date: date, Part: f.Part, Kind: f.Kind, Division: f.Member}, ok
}
