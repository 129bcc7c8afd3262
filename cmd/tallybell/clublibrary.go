package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"regexp"
	"strconv"
	"strings"

	"tallybell/content"
)

// A club keeps its own things in two folders beside its sheets:
//
//	movements/kit.txt     kit of its own
//	movements/*.txt       movements of its own, a file a pattern, as in the library's README
//	week/bounds.txt       what its weeks should lie between
const (
	movementsFolder = "movements"
	kitFile         = "kit.txt"
	boundsFile      = "week/bounds.txt"
)

// problem is something wrong with one of a club's files.
type problem struct {
	file string
	content.Problem
}

func (p problem) String() string { return p.In(p.file) }

// folderLibrary returns the built-in library with the movements and kit of the club whose sheets are in dir; "" is the
// current folder. Files with mistakes are left out, and their mistakes are returned by file, line and column. The
// error is of a file that cannot be read.
func folderLibrary(dir string) (*content.Library, []problem, error) {
	lib := content.Builtin()
	folder := path.Join(dir, movementsFolder)
	files, err := os.ReadDir(folder)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return lib, nil, nil
	case err != nil:
		return lib, nil, fmt.Errorf("read the club's movements: %w", err)
	}
	var entries []*content.Entry
	var kits []content.KitEntry
	var problems []problem
	for _, f := range files {
		if f.IsDir() || !strings.HasSuffix(f.Name(), ".txt") {
			continue
		}
		file := path.Join(folder, f.Name())
		text, err := readSheetFile(file)
		if err != nil {
			return lib, problems, fmt.Errorf("read the club's movements: %w", err)
		}
		es, ks, wrong := clubFile(file, text)
		for _, p := range content.Sorted(wrong) {
			problems = append(problems, problem{file, p})
		}
		if len(wrong) == 0 {
			entries, kits = append(entries, es...), append(kits, ks...)
		}
	}
	if len(entries)+len(kits) == 0 {
		return lib, problems, nil
	}
	club, err := lib.With(entries, kits)
	if err != nil {
		return lib, append(problems, togetherProblems(folder, err)...), nil
	}
	return club, problems, nil
}

// clubFile reads one file of a club's own library.
func clubFile(file string, text []byte) (entries []*content.Entry, kits []content.KitEntry, wrong []content.Problem) {
	switch {
	case len(text) > content.MaxSheet:
		wrong = []content.Problem{{Line: 1, Column: 1, Message: "the file is larger than 256 KiB: keep a file a pattern"}}
	case path.Base(file) == kitFile:
		kits, wrong = content.ParseKit(file, text)
	default:
		entries, wrong = content.ParseMovements(file, text)
	}
	return entries, kits, wrong
}

// fileLine is how the library begins a line about an entry that does not go with the others.
var fileLine = regexp.MustCompile(`^(.+?):(\d+):(\d+): (.*)$`)

// togetherProblems makes problems of what is wrong with a club's files taken together: names given twice, easier ways
// that are no movement, kit that nobody knows.
func togetherProblems(folder string, err error) []problem {
	var out []problem
	for _, line := range strings.Split(err.Error(), "\n") {
		p := problem{folder, content.Problem{Line: 1, Column: 1, Message: line}}
		if m := fileLine.FindStringSubmatch(line); m != nil {
			p.file, p.Message = m[1], m[4]
			p.Line, _ = strconv.Atoi(m[2]) // figures alone
			p.Column, _ = strconv.Atoi(m[3])
		}
		out = append(out, p)
	}
	return out
}

// folderBounds reads the bounds that a club sets its weeks, if there are any. The error is of a file that cannot be
// read.
func folderBounds(dir string) (file string, bounds []content.Bound, problems []content.Problem, err error) {
	file = path.Join(dir, boundsFile)
	text, err := readSheetFile(file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return file, nil, nil, nil
	case err != nil:
		return file, nil, nil, fmt.Errorf("read the club's bounds: %w", err)
	}
	bounds, problems = content.ParseBounds(text)
	return file, bounds, problems, nil
}
