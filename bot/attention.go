package bot

import (
	"slices"
	"time"

	"tallybell/bot/reply"
	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
)

// attention tells who deserves the coach's eye on a date, from what the days up to it hold. asked are the questions
// that wait.
func (b *Bot) attention(date content.Date, days map[content.Date]*pastDay, asked []Question) []leaderboard.Notice {
	people, at := b.followedPeople(date)
	today := b.clubToday()
	for i, d := range daysBack(date, leaderboard.FollowedDays) {
		day := days[d]
		if day == nil {
			continue
		}
		b.followSent(people, i, day, today)
		b.followDone(people, at, i, day)
		b.followNotes(people, at, i, day)
	}
	for _, q := range asked {
		if k, ok := at[q.Member]; ok {
			people[k].Asked = append(people[k].Asked, b.onDate(q.At))
		}
	}
	return leaderboard.Attention(people, leaderboard.Thresholds(b.Club().Attention), date)
}

func (b *Bot) onDate(at time.Time) content.Date { return content.DateOf(at.In(b.clubZone())) }

// followedPeople returns everybody whom the list may name, with empty days, and where each stands.
func (b *Bot) followedPeople(date content.Date) ([]leaderboard.Followed, map[string]int) {
	var people []leaderboard.Followed
	at := map[string]int{}
	dates := daysBack(date, leaderboard.FollowedDays)
	for _, m := range b.roster.All() {
		if m.Role != roster.RoleMember || !m.Joined() || m.Removed() {
			continue
		}
		f := leaderboard.Followed{Member: m.ID, Name: m.Name, Away: m.PausedOn(date), Held: m.Held(), Joined: m.JoinedOn,
			Days: make([]leaderboard.Day, len(dates))}
		for i, d := range dates {
			f.Days[i].Date = d
		}
		at[m.ID] = len(people)
		people = append(people, f)
	}
	return people, at
}

// followSent notes to whom the session of the i-th day back went out.
func (b *Bot) followSent(people []leaderboard.Followed, i int, day *pastDay, today content.Date) {
	had := b.posts.buckets(day.date)
	for k := range people {
		d := &people[k].Days[i]
		d.Over = day.date.Before(today)
		m, ok := b.roster.Get(people[k].Member)
		bucket := m.BucketOn(day.date)
		fact, sent := had[bucket]
		d.Sent = ok && sent && !bucket.IsZero() && !m.HeldAt(fact.N) && !day.sheet.Rest
	}
}

// followDone notes the results of the i-th day back.
func (b *Bot) followDone(people []leaderboard.Followed, at map[string]int, i int, day *pastDay) {
	ranks := ranksOf(day.records)
	for r := range day.records {
		rec := &day.records[r]
		k, ok := at[rec.Member]
		if !ok {
			continue
		}
		d := &people[k].Days[i]
		d.Heard = true
		o := leaderboard.Outcome{Record: rec, Places: ranks.of(rec)}
		o.Part, _ = day.sheet.Part(rec.Part)
		d.Results = append(d.Results, o)
	}
	var rs []*leaderboard.Record
	for k := range people {
		d := &people[k].Days[i]
		whole := day.notes[people[k].Member].Effort
		if len(d.Results) == 0 && whole == nil {
			continue
		}
		rs = rs[:0]
		for _, o := range d.Results {
			rs = append(rs, o.Record)
		}
		d.Effort, d.Load = b.effortAndLoad(day, rs, whole)
	}
}

// followNotes notes what members wrote on the i-th day back.
func (b *Bot) followNotes(people []leaderboard.Followed, at map[string]int, i int, day *pastDay) {
	for id, n := range day.notes {
		k, ok := at[id]
		if !ok {
			continue
		}
		f := &people[k]
		for _, x := range n.Notes {
			if x.Kind == noteAway {
				f.Days[i].Excused = true
				continue
			}
			f.Days[i].Heard = true
			if x.Care == "" || x.Misread {
				continue
			}
			m := leaderboard.Mention{Date: day.date, Stop: x.Care == "stop", Mishap: reply.Mishap(x.Said)}
			// Words stand with the session last sent, which may be some days old: then the day of writing counts.
			if on := b.onDate(time.UnixMilli(x.At)); on.DaysSince(day.date) > 1 {
				m.Date = on
			}
			f.Hurt = append(f.Hurt, m)
		}
		f.Days[i].Heard = f.Days[i].Heard || n.Effort != nil
	}
}

// dayRanks are the scores on each board of a date, best first.
type dayRanks map[rankKey][]int64

type rankKey struct {
	part, division string
	version        content.Version
}

// ranksOf sorts a date's results by board, as the store's boards do.
func ranksOf(records []leaderboard.Record) dayRanks {
	out := dayRanks{}
	for i := range records {
		r := &records[i]
		for _, p := range r.Places() {
			k := rankKey{r.Part, p.Board.Division, r.Result.Version}
			out[k] = append(out[k], p.Score)
		}
	}
	for _, scores := range out {
		slices.Sort(scores)
	}
	return out
}

// of returns where a result stands.
func (d dayRanks) of(r *leaderboard.Record) []leaderboard.Standing {
	var out []leaderboard.Standing
	for _, p := range r.Places() {
		scores := d[rankKey{r.Part, p.Board.Division, r.Result.Version}]
		better, _ := slices.BinarySearch(scores, p.Score)
		out = append(out, leaderboard.Standing{Division: p.Board.Division, Rank: int64(better) + 1, Of: int64(len(scores))})
	}
	return out
}
