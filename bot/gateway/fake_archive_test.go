package gateway

import (
	"context"
	"fmt"
	"strings"

	"tallybell/bot"
	"tallybell/bot/roster"
	"tallybell/content"
)

func (f *fakeClub) ImportResults(_ context.Context, by string, table []byte, partial bool) (bot.Imported, error) {
	out := bot.Imported{Rows: 2, Written: 2, Problems: []content.Problem{}, Warnings: []content.Problem{}}
	if strings.Contains(string(table), "bad") {
		out = bot.Imported{Rows: 1, Problems: []content.Problem{{Line: 3, Column: 9, Message: "not read, for " + by}}}
		if partial {
			out.Written = 1
		}
	}
	return out, nil
}

func (f *fakeClub) OwnData(ctx context.Context, id string) (bot.OwnData, error) {
	f.mu.Lock()
	m, ok := f.members[id]
	f.mu.Unlock()
	if !ok {
		return bot.OwnData{}, &bot.Problem{Code: "not_found", Text: "There is no such member."}
	}
	log, err := f.After(ctx, id, -1)
	rows, _ := f.Results(ctx, testDate)
	out := bot.OwnData{Member: m, Devices: 1, Conversation: log.Posts, Notes: []bot.OwnDayNotes{{Date: testDate, Notes: []bot.OwnNote{{Said: "sore"}}}}}
	for _, r := range rows {
		if r.Member == id {
			out.Results = append(out.Results, r)
		}
	}
	return out, err
}

func (f *fakeClub) Forget(_ context.Context, id string) (int64, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if m, ok := f.members[id]; !ok || m.Role != roster.RoleMember {
		return 0, &bot.Problem{Code: "not_found", Text: fmt.Sprintf("no member %s", id)}
	}
	delete(f.members, id)
	for t, owner := range f.tokens {
		if owner == id {
			delete(f.tokens, t)
		}
	}
	return f.next(""), nil
}
