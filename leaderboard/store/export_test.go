package store

import (
	"fmt"
	"strings"
	"sync/atomic"
	"testing"
	"time"
)

// An export is the club at one moment, also while messages come in without a pause: of each message there is
// everything or nothing.
func TestExportOfABusyClub(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		var stop atomic.Bool
		said := make(chan error, 1)
		begun := make(chan struct{})
		go func() {
			tops := map[string]int64{}
			for i := 0; !stop.Load(); i++ {
				m := fmt.Sprintf("m%d", i%5)
				got, err := c.Say(t.Context(), noon.Add(time.Duration(i)*time.Millisecond), logged(m, fmt.Sprint(i), tops[m], int64(i), noon))
				if err == nil && got.Outcome != Done {
					err = fmt.Errorf("outcome %d", got.Outcome)
				}
				if err != nil {
					said <- err
					return
				}
				tops[m] = got.N
				if i == 20 {
					close(begun)
				}
			}
			said <- nil
		}()
		<-begun
		numbers := map[int64]bool{}
		for range 8 {
			to := clubOf(t, open(t, Options{AllowVolatile: true}))
			if err := to.Import(t.Context(), strings.NewReader(exported(t, c)), nil); err != nil {
				t.Fatal(err)
			}
			last := int64(0)
			for i := range 5 {
				m := fmt.Sprintf("m%d", i)
				ledger, err := to.Ledger(t.Context(), m)
				if err != nil {
					t.Fatal(err)
				}
				mail, _, err := to.After(t.Context(), m, 0)
				if err != nil || len(mail) == 0 || len(ledger) == 0 || mail[len(mail)-1].N != ledger[len(ledger)-1].N {
					t.Fatalf("%s: %d in the mail, %d in the ledger, %v", m, len(mail), len(ledger), err)
				}
				last = max(last, mail[len(mail)-1].N)
			}
			n, _, err := to.Number(t.Context())
			if err != nil || n != last {
				t.Fatalf("the club's number is %d, its last message has %d, %v", n, last, err)
			}
			numbers[n] = true
		}
		stop.Store(true)
		if err := <-said; err != nil {
			t.Fatal(err)
		}
		if len(numbers) < 2 {
			t.Error("nothing was said meanwhile, so nothing was tried")
		}
	})
}
