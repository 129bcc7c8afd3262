package bot

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"sync"

	"tallybell/content"
)

// Fields of a date's sheets besides the versions themselves.
const (
	fieldCurrent = "current" // the version that is sent
	fieldDraft   = "draft"   // a version that is not sent until published
)

// sheetVersion names a sheet's text: the same text has the same version.
func sheetVersion(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:6])
}

// sheets keeps parsed sheets and their renderings. A version never changes, so nothing kept here goes stale.
type sheets struct {
	mu     sync.Mutex
	parsed map[sheetKey]*content.Session
	fits   map[fitKey]*fitting
}

type sheetKey struct {
	date    content.Date
	version string
}

type fitKey struct {
	sheetKey
	fit string
}

// fitting is a session as one fit receives it, rendered at most once.
type fitting struct {
	session content.FittedSession
	once    sync.Once
	text    string
	card    []byte
}

// maxFittings bounds the renderings kept; all are dropped beyond it and made anew as they are needed.
const maxFittings = 4000

func (s *sheets) session(k sheetKey) (*content.Session, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	x, ok := s.parsed[k]
	return x, ok
}

func (s *sheets) keep(k sheetKey, x *content.Session) *content.Session {
	s.mu.Lock()
	defer s.mu.Unlock()
	if had, ok := s.parsed[k]; ok {
		return had
	}
	if s.parsed == nil {
		s.parsed = map[sheetKey]*content.Session{}
	}
	s.parsed[k] = x
	return x
}

// fitting returns what is kept under k, or else keeps what fit makes.
func (s *sheets) fitting(k fitKey, fit func() content.FittedSession) *fitting {
	s.mu.Lock()
	f, ok := s.fits[k]
	s.mu.Unlock()
	if ok {
		return f
	}
	f = &fitting{session: fit()}
	s.mu.Lock()
	defer s.mu.Unlock()
	if had, ok := s.fits[k]; ok {
		return had
	}
	if s.fits == nil || len(s.fits) >= maxFittings {
		s.fits = map[fitKey]*fitting{}
	}
	s.fits[k] = f
	return f
}

// session returns one version of a date's sheet.
func (b *Bot) session(ctx context.Context, d content.Date, version string) (*content.Session, error) {
	k := sheetKey{d, version}
	if s, ok := b.sheets.session(k); ok {
		return s, nil
	}
	stored, err := b.club.Sheets(ctx, d.String())
	if err != nil {
		return nil, err
	}
	text, ok := stored[version]
	if !ok {
		return nil, fmt.Errorf("sheet of %s: version %s is not in the store", d, version)
	}
	s, problems := content.ParseWith(b.library, d.String()+".txt", []byte(text))
	if errs := content.Errors(problems); len(errs) > 0 {
		return nil, fmt.Errorf("stored sheet of %s does not parse: %s", d, errs[0].In(d.String()))
	}
	return b.sheets.keep(k, &s), nil
}

// fittingOf returns a version of a date's session for a fit.
func (b *Bot) fittingOf(ctx context.Context, d content.Date, version string, fit content.Fit) (*fitting, error) {
	s, err := b.session(ctx, d, version)
	if err != nil {
		return nil, err
	}
	return b.sheets.fitting(fitKey{sheetKey{d, version}, fit.Key()}, func() content.FittedSession {
		return content.Fitted(*s, fit, b.library)
	}), nil
}

func (b *Bot) fitted(ctx context.Context, d content.Date, version string, fit content.Fit) (*content.FittedSession, error) {
	f, err := b.fittingOf(ctx, d, version, fit)
	if err != nil {
		return nil, err
	}
	return &f.session, nil
}

// StoredSheet is a date's sheet as stored.
type StoredSheet struct {
	Date    content.Date
	Text    string
	Version string
	Draft   bool // not published: never sent
	Sent    bool // posted to at least one bucket
}

// Sheet returns a date's sheet: the draft if there is one that was never published, else what is sent. A *Problem with
// code not_found when there is none.
func (b *Bot) Sheet(ctx context.Context, date content.Date) (StoredSheet, error) {
	stored, err := b.club.Sheets(ctx, date.String())
	if err != nil {
		return StoredSheet{}, err
	}
	s := StoredSheet{Date: date, Version: stored[fieldCurrent], Sent: len(b.posts.buckets(date)) > 0}
	if draft := stored[fieldDraft]; draft != "" {
		s.Version, s.Draft = draft, true
	}
	text, ok := stored[s.Version]
	if s.Version == "" || !ok {
		return StoredSheet{}, &Problem{Code: "not_found", Text: "There is no sheet for " + date.String() + "."}
	}
	s.Text = text
	return s, nil
}

// current returns the version of a date's sheet that is sent, "" when there is none.
func (b *Bot) current(ctx context.Context, date content.Date) (string, error) {
	stored, err := b.club.Sheets(ctx, date.String())
	return stored[fieldCurrent], err
}

// Session returns the published session of a date, as the coach wrote it. A *Problem with code not_found when there is
// none.
func (b *Bot) Session(ctx context.Context, date content.Date) (content.Session, error) {
	version, err := b.current(ctx, date)
	if err != nil {
		return content.Session{}, err
	}
	if version == "" {
		return content.Session{}, &Problem{Code: "not_found", Text: "There is no published sheet for " + date.String() + "."}
	}
	s, err := b.session(ctx, date, version)
	if err != nil {
		return content.Session{}, err
	}
	return *s, nil
}

// SheetDates returns the dates with a sheet, drafts included, ascending.
func (b *Bot) SheetDates(ctx context.Context) ([]content.Date, error) {
	raw, err := b.club.SheetDates(ctx)
	if err != nil {
		return nil, err
	}
	return storedDates("sheet", raw)
}

// storedDates reads dates as the store gives them, ascending; what they are of is told in an error.
func storedDates(what string, raw []string) ([]content.Date, error) {
	out := make([]content.Date, 0, len(raw))
	for _, r := range raw {
		d, err := content.ParseDate(r)
		if err != nil {
			return nil, fmt.Errorf("stored %s: %w", what, err)
		}
		out = append(out, d)
	}
	slices.SortFunc(out, content.Date.Compare)
	return out, nil
}
