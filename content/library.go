package content

import (
	"embed"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
	"sync"
)

// Pattern is the movement pattern of a library entry.
type Pattern string

// The twelve movement patterns and the two service groups.
const (
	PatternSquat    Pattern = "squat"
	PatternSplit    Pattern = "split, step and single leg"
	PatternHinge    Pattern = "hinge"
	PatternBridge   Pattern = "bridge and leg curl"
	PatternPush     Pattern = "level push"
	PatternOverhead Pattern = "overhead push"
	PatternRow      Pattern = "row"
	PatternPull     Pattern = "pull from above"
	PatternBrace    Pattern = "brace"
	PatternTrunk    Pattern = "trunk bend and turn"
	PatternCarry    Pattern = "carry, crawl and travel"
	PatternJump     Pattern = "jump and whole-body burst"
	PatternSmall    Pattern = "small muscles and grip"
	PatternMobility Pattern = "mobility and breath"
)

// Patterns lists every pattern, the twelve first and the two service groups last.
func Patterns() []Pattern {
	return []Pattern{PatternSquat, PatternSplit, PatternHinge, PatternBridge, PatternPush, PatternOverhead, PatternRow,
		PatternPull, PatternBrace, PatternTrunk, PatternCarry, PatternJump, PatternSmall, PatternMobility}
}

// Service reports whether the pattern is a service group: small muscles, or mobility and breath.
func (p Pattern) Service() bool { return p == PatternSmall || p == PatternMobility }

// Sides tells how a movement uses left and right.
type Sides string

// Both sides at once, one side at a time, or alternating (which alone may have odd counts).
const (
	BothSides   Sides = "both"
	OneSide     Sides = "one at a time"
	Alternating Sides = "alternating"
)

// Entry is one movement of the library.
type Entry struct {
	Name    string
	Aliases []string
	Pattern Pattern
	Main    string   // the muscle group that does most of the work
	Helping []string // others
	Rep     string   // what counts as one rep
	Kit     [][]string
	// Kit lists alternatives, each a list of kit that is needed together; nil when nothing is needed.

	Place []string // any of stairs, wall, doorway, outdoors; nil when anywhere
	Sides Sides

	SecondsLow, SecondsHigh float64 // one rep, seconds
	MetreLow, MetreHigh     float64 // one metre, seconds; 0 when it does not travel

	Risk    int  // 1 everyday, 2 wants practice, 3 can hurt when it goes wrong
	StandIn bool // may be sent in place of another movement

	Loads    []string // what it asks of the body: wrist, shoulder, neck, low back, deep knee, ankle, impact, ...
	Passing  []string // positions that it passes through beside Position
	Position string   // standing, kneeling, on the back, face down, on the side, seated, hanging
	Noise    string   // quiet, some, loud
	Floor    string   // spot, mat, wide, lane
	Ceiling  bool     // needs height above an outstretched arm

	Easier   []string  // names one step down the ladder, nearest first
	Harder   []string  // names one step up
	StandIns []StandIn // others to send when the kit is missing, best first
	KitOnly  string    // why there is no way without kit; "" when there is one
	Cues     []string  // one to three
	Cautions []string  // always shown
	Test     string    // what to try before use, where furniture or doors are involved

	source sourcePlace            // of the name
	fields map[string]sourcePlace // of each other field, by its key
}

// StandIn is a movement that can take the place of another: N reps become Factor times N.
type StandIn struct {
	Name     string
	Factor   float64
	SameRung bool // as hard: at factor 1 it counts as written
}

// FurnitureOrDoor reports whether a chair, table, sofa, bed or door carries the member's weight or is pulled on,
// so that it must be tested first.
func (e *Entry) FurnitureOrDoor() bool { return e.Test != "" }

// Hold reports whether the movement is held rather than repeated, so that its count is seconds.
func (e *Entry) Hold() bool { return e.SecondsLow == 1 && e.SecondsHigh == 1 }

// In reports whether the movement is done in a position or passes through it.
func (e *Entry) In(position string) bool {
	return e.Position == position || slices.Contains(e.Passing, position)
}

// NeedsKit reports whether the movement cannot be done with empty hands.
func (e *Entry) NeedsKit() bool { return len(e.Kit) > 0 }

// Library is a set of movements and the names of kit. It does not change once made.
type Library struct {
	entries []*Entry
	kits    []KitEntry
	byName  map[string]*Entry   // by canonical name as written
	byKey   map[string]*Entry   // by nameKey of every name and alias
	kitName map[string]KitEntry // by canonical name as written
	kitKey  map[string]string   // canonical name by nameKey of every name and alias
	serves  map[string][]string // kit -> what stands in for it, at any remove

	names, kitNames []namedAs // every name and alias, for suggestions
}

//go:embed library/*.txt
var builtinFiles embed.FS

// Builtin returns the library that comes with the program, read once.
var Builtin = sync.OnceValue(func() *Library {
	l, err := loadLibrary(builtinFiles, "library")
	if err != nil {
		panic("built-in movement library: " + err.Error()) // a broken build: the tests read the same files
	}
	return l
})

// kitFile is the file of a library folder that holds kit; every other one holds the movements of a pattern.
const kitFile = "kit.txt"

// loadLibrary reads kit.txt and every other .txt file of dir. Errors name file:line:column.
func loadLibrary(files fs.FS, dir string) (*Library, error) {
	names, err := fs.Glob(files, path.Join(dir, "*.txt"))
	if err != nil {
		return nil, fmt.Errorf("list the library: %w", err)
	}
	var entries []*Entry
	var kits []KitEntry
	var wrong []string
	for _, name := range names {
		text, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, fmt.Errorf("read the library: %w", err)
		}
		var ps []Problem
		if path.Base(name) == kitFile {
			kits, ps = ParseKit(path.Base(name), text)
		} else {
			var es []*Entry
			es, ps = ParseMovements(path.Base(name), text)
			entries = append(entries, es...)
		}
		for _, p := range ps {
			wrong = append(wrong, p.In(path.Base(name)))
		}
	}
	if len(wrong) > 0 {
		return nil, fmt.Errorf("%s", strings.Join(wrong, "\n"))
	}
	return newLibrary(entries, kits)
}

// Entries returns all movements, by name.
func (l *Library) Entries() []*Entry { return slices.Clone(l.entries) }

// Kits returns all kit, in the order of the file.
func (l *Library) Kits() []KitEntry { return slices.Clone(l.kits) }
