package store

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"
)

// ErrExists says that an import would overwrite a club.
var ErrExists = errors.New("the club exists already; an import makes a new club only: choose another club id, or another store")

// errOtherImport says that somebody else began an import meanwhile.
var errOtherImport = errors.New("another import of this club has begun meanwhile: nothing of this one was kept")

// Import makes the club from an export, which may be of a club with another id. It takes only a club that does
// not exist yet, or one just made that holds nothing but its first coach, who gives way (else ErrExists). The club is
// staged beside and put in place by one step at the end, so that of a file that is broken (ExportError), or of an
// import that broke off, nothing stays. check (nil for none) looks at each record before it is taken; what it refuses is
// an ExportError. Whoever keeps the club's people or posts in memory has to read them anew.
func (c *Club) Import(ctx context.Context, r io.Reader, check func(ExportRecord) error) error {
	found, old, err := c.newborn(ctx)
	if err != nil {
		return fmt.Errorf("store: import: %w", err)
	}
	im := &importing{club: c, owner: itoa(micros(c.s.Now())) + "." + rand.Text(), found: found, check: check, begun: map[string]bool{}}
	if err = im.read(ctx, r); err == nil {
		err = im.end(ctx, old)
	}
	if err == nil {
		return nil
	}
	if im.open && !errors.Is(err, errOtherImport) {
		err = errors.Join(err, im.drop(context.WithoutCancel(ctx)))
	}
	return fmt.Errorf("store: import: %w", err)
}

// newborn returns the club's number ("" when there is no club) and the keys that give way to an import.
func (c *Club) newborn(ctx context.Context) (found string, old []string, err error) {
	n, _, err := c.Number(ctx)
	if err != nil {
		return "", nil, err
	}
	if old, err = c.names(ctx); err != nil || n == 0 {
		return "", old, err
	}
	for _, name := range old {
		switch name {
		case "members", "tops", "changed", "tokens", "invites":
		default:
			return "", nil, fmt.Errorf("club %s: %w", c.id, ErrExists)
		}
	}
	people, err := c.Members(ctx)
	if err == nil && len(people) > 1 {
		err = fmt.Errorf("club %s: %w", c.id, ErrExists)
	}
	return itoa(n), old, err
}

// importing is one import under way.
type importing struct {
	club  *Club
	owner string
	found string // the club's number when it began
	open  bool   // something may be staged
	check func(ExportRecord) error
	head  head
	begun map[string]bool // keys that have something staged

	cmds  []Do
	names []string // of the keys that cmds stage
	size  int
}

// ExportRecord is one field of a hash, or one entry of a stream, of an export.
type ExportRecord struct {
	Key    string            // without the club's prefix
	Field  string            // of a hash, or the id of a stream's entry
	Value  string            // of a hash
	Values map[string]string // of a stream's entry
}

// check shows each record of the part; what is refused is said with its key.
func (p part) check(check func(ExportRecord) error) error {
	if check == nil {
		return nil
	}
	for i := 0; i+1 < len(p.Hash); i += 2 {
		if err := check(ExportRecord{Key: p.Key, Field: string(p.Hash[i]), Value: string(p.Hash[i+1])}); err != nil {
			return badRecord{fmt.Errorf("key %q, field %q: %w", p.Key, p.Hash[i], err)}
		}
	}
	for _, e := range p.Stream {
		values := map[string]string{}
		for i := 0; i+1 < len(e.Values); i += 2 {
			values[string(e.Values[i])] = string(e.Values[i+1])
		}
		if err := check(ExportRecord{Key: p.Key, Field: e.ID, Values: values}); err != nil {
			return badRecord{fmt.Errorf("key %q, entry %s: %w", p.Key, e.ID, err)}
		}
	}
	return nil
}

// badRecord is what a check refused; the reader of the export adds the line.
type badRecord struct{ error }

func (b badRecord) Unwrap() error { return b.error }

// importSize is about how many bytes of commands one step of an import makes.
const importSize = 128 << 10

func (im *importing) read(ctx context.Context, r io.Reader) error {
	begin := func(h head) error {
		im.head, im.open = h, true
		return im.step(ctx, "begin")
	}
	err := readExport(r, begin, func(p part) error {
		if err := p.check(im.check); err != nil {
			return err
		}
		if !im.begun[p.Key] {
			im.begun[p.Key] = true
			im.names = append(im.names, p.Key)
		}
		for _, d := range p.commands(im.club.key(stagePrefix + p.Key)) {
			im.cmds = append(im.cmds, d)
			for _, w := range d {
				im.size += len(w)
			}
		}
		if im.size < importSize {
			return nil
		}
		return im.step(ctx, "part")
	})
	if err == nil && len(im.cmds) > 0 {
		err = im.step(ctx, "part")
	}
	return err
}

// stagePrefix leads the name of a key that an import has staged.
const stagePrefix = "import:"

func isStaged(name string) bool { return name == "import" || strings.HasPrefix(name, stagePrefix) }

// end puts what is staged in the place of the keys that were there.
func (im *importing) end(ctx context.Context, old []string) error {
	for _, name := range old {
		im.cmds = append(im.cmds, Do{"DEL", im.club.key(name)})
	}
	return im.step(ctx, "end")
}

// drop takes away what is staged, off the disk as well.
func (im *importing) drop(ctx context.Context) error {
	im.cmds, im.names = nil, nil
	if err := im.step(ctx, "drop"); err != nil {
		return fmt.Errorf("what was staged is left until the next import, or the daily tidying: %w", err)
	}
	return im.club.s.compact(ctx)
}

// step makes the commands gathered so far.
func (im *importing) step(ctx context.Context, step string) error {
	c := im.club
	k := newKeyList(c.KeyClub(), c.keyImport())
	list := &call{}
	list.addInt(len(im.cmds))
	for _, d := range im.cmds {
		k.place(d[1])
		list.addInt(len(d))
		list.add(d...)
	}
	list.addInt(len(im.names))
	list.add(im.names...)
	// sent once: a stream's entry that is there already would be refused
	call := newCall(c.s.scripts.imports, false, k.keys, 5+len(list.args))
	call.add(step, im.owner, im.found, itoa(im.head.N), itoa(im.head.LastPost))
	call.args = append(call.args, list.args...)
	im.cmds, im.names, im.size = nil, nil, 0
	reply, err := c.s.batch.do(ctx, call)
	switch {
	case err != nil:
		return err
	case len(reply) == 1 && reply[0] == "exists":
		return fmt.Errorf("club %s: %w", c.id, ErrExists)
	case len(reply) == 1 && reply[0] == "taken":
		return errOtherImport
	}
	return nil
}

// stagedFor is how long the staged keys of an import that broke off, because its process died, are left alone.
const stagedFor = 24 * time.Hour

// sweepImport takes away what an import left that died a day ago or more.
func (c *Club) sweepImport(ctx context.Context, now time.Time) error {
	owner, err := c.field(ctx, "import", c.keyImport(), "owner")
	if err != nil || owner == "" {
		return err
	}
	began, _, _ := strings.Cut(owner, ".")
	at, err := strconv.ParseInt(began, 10, 64)
	if err == nil && now.Sub(time.UnixMicro(at)) < stagedFor {
		return nil
	}
	im := &importing{club: c, owner: owner}
	if err := im.drop(ctx); err != nil && !errors.Is(err, errOtherImport) {
		return err
	}
	return nil
}
