package bot

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"tallybell/content"
	"tallybell/leaderboard"
	"tallybell/leaderboard/store"
	"tallybell/schedule"
)

// PutOptions are the options of PutSheet.
type PutOptions struct {
	Draft bool // never sent until published
	Force bool // replace even where a part with results changes its kind
}

// PutResult is what PutSheet found. With Errors or Conflict nothing was stored.
type PutResult struct {
	Errors   []content.Problem
	Warnings []content.Problem
	NoFit    []NoFit
	Conflict []PartConflict
}

// NoFit is a movement that some members have no way of doing: it is sent to them as written, and marked.
type NoFit struct {
	Part     string   `json:"part"`     // letter, or content.WarmUpPart, CoolDownPart
	Movement string   `json:"movement"` // as the sheet names it
	Members  []string `json:"members"`  // ids, by name
}

// PartConflict is a part whose kind a new sheet would change though it has results.
type PartConflict struct {
	Part    string       `json:"part"`
	Was     content.Kind `json:"was"`
	Now     content.Kind `json:"now,omitempty"` // empty: the part is gone
	Results int          `json:"results"`
}

// PutSheet checks and stores a sheet for a date. Replacing a sheet that has gone out tells its members what changed.
func (b *Bot) PutSheet(ctx context.Context, date content.Date, text []byte, o PutOptions) (PutResult, error) {
	s, problems := content.Read(b.library, date.String()+".txt", text)
	res := PutResult{Errors: content.Errors(problems), Warnings: content.Warnings(problems), NoFit: []NoFit{}}
	if len(res.Errors) > 0 {
		return res, nil
	}
	res.NoFit = b.noFits(s, date)
	version := sheetVersion(text)
	stored, err := b.club.Sheets(ctx, date.String())
	if err != nil {
		return res, err
	}
	cmds := []store.Do{{"HSET", b.club.KeySheets(date.String()), version, string(text)}}
	conds := []store.If{{Key: b.club.KeySheets(date.String()), Field: fieldCurrent, Want: stored[fieldCurrent]}}
	if o.Draft {
		cmds = append(cmds, store.Do{"HSET", b.club.KeySheets(date.String()), fieldDraft, version})
		return res, b.write(ctx, conds, cmds)
	}
	if res.Conflict, err = b.conflicts(ctx, date, s); err != nil || len(res.Conflict) > 0 && !o.Force {
		return res, err
	}
	forced := len(res.Conflict) > 0
	res.Conflict = nil
	cmds = append(cmds, store.Do{"HSET", b.club.KeySheets(date.String()), fieldCurrent, version},
		store.Do{"HDEL", b.club.KeySheets(date.String()), fieldDraft})
	if err := b.write(ctx, conds, cmds); err != nil {
		return res, err
	}
	if was := stored[fieldCurrent]; was != "" && was != version {
		if err := b.tellChanged(ctx, date, was, version, s); err != nil {
			return res, err
		}
	}
	if forced {
		return res, b.restandDate(ctx, date, "the sheet was replaced")
	}
	return res, nil
}

func (b *Bot) write(ctx context.Context, conds []store.If, cmds []store.Do) error {
	_, err := b.club.Change(ctx, b.clock.Now(), conds, cmds)
	if errors.Is(err, store.ErrStale) {
		return &Problem{Code: "conflict", Text: "Somebody else has changed this meanwhile. Look at it again, then send your change once more.", Err: err}
	}
	return err
}

// conflicts returns the parts whose kind a new sheet would change though they have results.
func (b *Bot) conflicts(ctx context.Context, date content.Date, s content.Session) ([]PartConflict, error) {
	records, err := b.records(ctx, date)
	if err != nil {
		return nil, err
	}
	var out []PartConflict
	kinds := leaderboard.PartKinds(records)
	for letter, counts := range kinds {
		var now content.Kind
		if p, ok := s.Part(letter); ok {
			now = p.Kind()
		}
		for was, n := range counts {
			if was != now && was != content.KindDone {
				out = append(out, PartConflict{letter, was, now, n})
			}
		}
	}
	slices.SortFunc(out, func(a, c PartConflict) int { return strings.Compare(a.Part, c.Part) })
	return out, nil
}

// Publish makes a draft due.
func (b *Bot) Publish(ctx context.Context, date content.Date) error {
	stored, err := b.club.Sheets(ctx, date.String())
	if err != nil {
		return err
	}
	draft := stored[fieldDraft]
	if draft == "" {
		if stored[fieldCurrent] != "" {
			return nil
		}
		return &Problem{Code: "not_found", Text: "There is no draft for " + date.String() + " to publish. Save a sheet first."}
	}
	res, err := b.PutSheet(ctx, date, []byte(stored[draft]), PutOptions{})
	if err != nil {
		return err
	}
	if len(res.Conflict) > 0 {
		return &Problem{Code: "conflict", Text: conflictText(res.Conflict)}
	}
	if len(res.Errors) > 0 {
		return &Problem{Code: "invalid", Text: "The draft does not pass the checks any more: " + res.Errors[0].In(date.String())}
	}
	return nil
}

func conflictText(cs []PartConflict) string {
	var parts []string
	for _, c := range cs {
		now := "is gone"
		if c.Now != "" {
			now = "gives a " + string(c.Now)
		}
		parts = append(parts, fmt.Sprintf("part %s has %d results of kind %s and now %s", c.Part, c.Results, c.Was, now))
	}
	return "Not replaced: " + strings.Join(parts, "; ") + ". Keep the kind, or replace by force: such results then stay with you and stand on no board."
}

// tellChanged posts one note to each bucket that had the session, saying what changed.
func (b *Bot) tellChanged(ctx context.Context, date content.Date, was, version string, now content.Session) error {
	if err := b.lookAtPosts(ctx); err != nil {
		return err
	}
	old, err := b.session(ctx, date, was)
	if err != nil {
		return err
	}
	at := b.clock.Now()
	for bucket := range b.posts.buckets(date) {
		fact, err := json.Marshal(postFact{Kind: NoticePost, Version: version, At: at.UnixMilli(), Text: whatChanged(*old, now)})
		if err != nil {
			return fmt.Errorf("changed note: %w", err)
		}
		if _, _, err := b.post(ctx, at, store.Post{Date: date.String(), OnceID: "changed:" + version + ":" + bucket.String(),
			Bucket: bucket.String(), Fact: fact}); err != nil {
			return err
		}
	}
	return b.lookAtPosts(ctx)
}

// whatChanged names the parts that differ between two sheets.
func whatChanged(old, now content.Session) string {
	var parts []string
	letters := map[string]bool{}
	for _, p := range now.Parts {
		letters[p.Letter] = true
		o, had := old.Part(p.Letter)
		switch {
		case !had:
			parts = append(parts, p.Letter+" is new")
		case partText(*o) != partText(p):
			parts = append(parts, p.Letter+" has changed")
		}
	}
	for _, p := range old.Parts {
		if !letters[p.Letter] {
			parts = append(parts, p.Letter+" is gone")
		}
	}
	if len(parts) == 0 {
		return "Today's session was corrected by your coach; the parts are as they were."
	}
	return "Your coach has changed this session: " + strings.Join(parts, ", ") + ". Reply today to see it."
}

// partText is a part in its plain form, for comparing.
func partText(p content.Part) string {
	p.Letter = "A"
	return string(content.Format(content.Session{Title: "x", Parts: []content.Part{p}}))
}

func (b *Bot) post(ctx context.Context, now time.Time, p store.Post) (int64, bool, error) {
	n, first, err := b.club.Post(ctx, now, p)
	if err == nil && first {
		b.hint(Hint{N: n})
	}
	return n, first, err
}

// Sent counts what SendNow did.
type Sent struct {
	Posts   int `json:"posts"`   // buckets newly posted to
	Members int `json:"members"` // members in them
}

// SendNow sends a date's session to all who have not had it. A repeat sends nothing.
func (b *Bot) SendNow(ctx context.Context, date content.Date) (Sent, error) {
	var sent Sent
	if version, err := b.current(ctx, date); err != nil {
		return sent, err
	} else if version == "" {
		return sent, &Problem{Code: "not_found", Text: "There is no published sheet for " + date.String() + ". Write one, or publish its draft."}
	}
	in := map[content.Bucket]int{}
	for _, m := range b.roster.All() {
		if bucket := m.BucketOn(date); !bucket.IsZero() && m.Joined() {
			in[bucket]++
		}
	}
	for bucket, members := range in {
		first, err := b.sendTo(ctx, bucket, schedule.Sending{Date: date, Mode: schedule.Regular}, b.clock.Now())
		if err != nil {
			return sent, err
		}
		if first {
			sent.Posts++
			sent.Members += members
		}
	}
	return sent, nil
}

// Send puts the session that is due into the conversation of a bucket; part of what the schedule needs.
func (b *Bot) Send(ctx context.Context, bucket content.Bucket, due schedule.Sending) error {
	_, err := b.sendTo(ctx, bucket, due, b.clock.Now())
	return err
}

func (b *Bot) sendTo(ctx context.Context, bucket content.Bucket, due schedule.Sending, now time.Time) (bool, error) {
	version, err := b.current(ctx, due.Date)
	if err != nil || version == "" {
		return false, err
	}
	fact, err := json.Marshal(postFact{Kind: SessionPost, Version: version, At: now.UnixMilli(), Late: due.Mode != schedule.Regular})
	if err != nil {
		return false, fmt.Errorf("post: %w", err)
	}
	_, first, err := b.post(ctx, now, store.Post{Date: due.Date.String(), OnceID: bucket.String(), Bucket: bucket.String(), Fact: fact})
	if err != nil {
		return false, err
	}
	return first, b.lookAtPosts(ctx)
}

// Buckets returns the buckets in use; part of what the schedule needs.
func (b *Bot) Buckets(ctx context.Context, now time.Time) ([]schedule.InUse, error) {
	if _, err := b.roster.Refresh(ctx); err != nil {
		return nil, err
	}
	var out []schedule.InUse
	for _, d := range b.roster.Buckets(now) {
		out = append(out, schedule.InUse{Bucket: d.Bucket, From: d.From})
	}
	return out, nil
}

// Sheets returns the dates with a published sheet; part of what the schedule needs.
func (b *Bot) Sheets(ctx context.Context) ([]content.Date, error) {
	dates, err := b.SheetDates(ctx)
	if err != nil {
		return nil, err
	}
	var out []content.Date
	today := content.DateOf(b.clock.Now().UTC())
	for _, d := range dates {
		if ahead := d.DaysSince(today); ahead > 2 || ahead < -backlogDays-2 {
			continue // never due
		}
		v, err := b.current(ctx, d)
		if err != nil {
			return nil, err
		}
		if v != "" {
			out = append(out, d)
		}
	}
	return out, nil
}

// Posted returns the buckets that a date's session has gone out to; part of what the schedule needs.
func (b *Bot) Posted(ctx context.Context, d content.Date) (map[content.Bucket]bool, error) {
	raw, err := b.club.Posted(ctx, d.String())
	if err != nil {
		return nil, err
	}
	out := map[content.Bucket]bool{}
	for id := range raw {
		if bucket, err := content.ParseBucket(id); err == nil {
			out[bucket] = true
		}
	}
	return out, nil
}
