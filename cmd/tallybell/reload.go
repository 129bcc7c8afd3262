package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"slices"
	"strings"
	"syscall"
	"time"

	"tallybell/bot/roster"
)

// followClubFiles stands results where the club files say, in the background: once now, and again whenever a SIGHUP has
// had them read anew. Nobody waits for it.
func (a *app) followClubFiles(files []string) {
	hup := make(chan os.Signal, 1)
	signal.Notify(hup, syscall.SIGHUP)
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan struct{})
	a.onStop("club files", func(context.Context) error {
		signal.Stop(hup)
		cancel()
		<-done
		return nil
	})
	go func() {
		defer close(done)
		a.standAgain(ctx, "the club file, as it was at the start")
		for {
			select {
			case <-ctx.Done():
				return
			case <-hup:
			}
			if a.readAgain(files) {
				a.standAgain(ctx, "the club file was changed")
			}
		}
	}()
}

// readAgain takes in what the club files say now. With a mistake in any of them nothing changes, and the log says what.
func (a *app) readAgain(files []string) bool {
	if len(files) == 0 {
		a.log.Info().Msg("there is no club file to read again")
		return false
	}
	clubs, err := readClubs(files, func(problem string) { a.log.Error().Msg(problem) })
	if err == nil {
		err = a.sameClubs(clubs)
	}
	if err != nil {
		a.log.Error().Err(err).Msg("the club files were not taken: everything goes on as it was")
		return false
	}
	for _, c := range clubs {
		p := a.parts(c.ID)
		if was := p.bot.Club(); was.EveningLimit != c.EveningLimit {
			a.log.Warn().Str("club", c.ID).Msg("the new evening limit holds from the next start on")
		}
		p.bot.Run(c)
		a.log.Info().Str("club", c.ID).Msg("the club file was read again")
		for division, n := range gone(p.roster.All(), c.Divisions) {
			a.log.Warn().Str("club", c.ID).Str("division", division).Int("members", n).
				Msg("members had chosen a division that the club does not have now: they stand on no board of a chosen one until theirs is changed")
		}
	}
	return true
}

// gone counts the members of each chosen division that is none of the club's.
func gone(members []roster.Member, divisions []string) map[string]int {
	out := map[string]int{}
	for _, m := range members {
		if m.Division != "" && !slices.ContainsFunc(divisions, func(d string) bool { return strings.EqualFold(d, m.Division) }) {
			out[m.Division]++
		}
	}
	return out
}

// sameClubs checks that the files are about the clubs that are served.
func (a *app) sameClubs(clubs []roster.Club) error {
	for _, c := range clubs {
		if a.parts(c.ID) == nil {
			return fmt.Errorf("club %s is not served: a club is added, or given another id, at a start", c.ID)
		}
	}
	return nil
}

func (a *app) parts(club string) *clubParts {
	for _, p := range a.clubs {
		if p.config.ID == club {
			return p
		}
	}
	return nil
}

func (a *app) standAgain(ctx context.Context, why string) {
	for _, c := range a.clubs {
		began := time.Now()
		n, err := c.bot.StandAgain(ctx, why)
		switch {
		case ctx.Err() != nil:
			return
		case err != nil:
			a.log.Error().Err(err).Str("club", c.config.ID).Int("members", n).Msg("not everybody's results were stood again; kill -HUP tries again")
		case n > 0:
			a.log.Info().Str("club", c.config.ID).Int("members", n).Dur("took", time.Since(began)).Msg("results stand where the club file says")
		}
	}
}
