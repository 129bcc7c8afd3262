package gateway

import (
	"context"
	"errors"
	"fmt"
	"net"
	"strings"
	"syscall"
	"testing"

	"tallybell/bot"
	"tallybell/bot/roster"
)

// What a user can mend is told to the user, what only the operator can mend is not.
func TestAsProblem(t *testing.T) {
	secret := errors.New("dial tcp 10.1.2.3:6379")
	for name, tc := range map[string]struct {
		err    error
		status int
		says   string
	}{
		"the bot says not found":     {&bot.Problem{Code: "not_found", Text: "No sheet."}, 404, "No sheet."},
		"the bot says conflict":      {&bot.Problem{Code: "conflict", Text: "Sent."}, 409, "Sent."},
		"the bot says invalid":       {&bot.Problem{Code: "invalid", Text: "No time."}, 422, "No time."},
		"wrapped":                    {fmt.Errorf("mending: %w", &bot.Problem{Code: "invalid", Text: "No time."}), 422, "No time."},
		"not saved":                  {&bot.Problem{Code: bot.NotSaved, Text: "Send again.", Err: secret}, 503, "Send again."},
		"a code nobody foresaw":      {&bot.Problem{Code: "odd", Text: "Odd."}, 500, "Odd."},
		"no member":                  {roster.ErrNoMember, 404, "no member"},
		"unknown invite":             {roster.ErrUnknownInvite, 404, "This invite is not known"},
		"used invite":                {fmt.Errorf("joining: %w", roster.ErrUsedInvite), 409, "used before"},
		"bad key":                    {roster.ErrBadKey, 422, "32 random bytes"},
		"key reused":                 {roster.ErrKeyReused, 422, "Idempotency-Key"},
		"last coach":                 {roster.ErrLastCoach, 409, "coach cannot be removed"},
		"unknown token":              {roster.ErrUnknownToken, 401, "no longer known"},
		"settings that are not":      {roster.InvalidError{{Index: 1, Field: "zone", Message: "no such zone"}}, 422, `"fields":[{"index":1,"field":"zone","message":"no such zone"}]`},
		"the store cannot be dialed": {fmt.Errorf("reading: %w", &net.OpError{Op: "dial", Net: "tcp", Err: syscall.ECONNREFUSED}), 503, "cannot be reached"},
		"the store is too slow":      {fmt.Errorf("reading: %w", context.DeadlineExceeded), 503, "cannot be reached"},
		"a bug":                      {secret, 500, "It is in the log"},
	} {
		t.Run(name, func(t *testing.T) {
			p := asProblem(tc.err)
			b, err := marshal(p)
			if err != nil {
				t.Fatal(err)
			}
			if p.Status != tc.status || !strings.Contains(string(b), tc.says) {
				t.Errorf("%d %s", p.Status, b)
			}
			if strings.Contains(string(b), "10.1.2.3") {
				t.Errorf("the cause is told: %s", b)
			}
		})
	}
}
