package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// arrows lists, for each folder of the house, the folders of ours that it may import. What is not here may not be.
var arrows = map[string][]string{
	"content":                    {},
	"leaderboard/store/embedded": {},
	"leaderboard/store":          {"leaderboard/store/embedded"},
	"schedule":                   {"content"},
	"leaderboard":                {"content", "leaderboard/store"},
	"bot/reply":                  {"content"},
	"bot/roster":                 {"content", "leaderboard/store"},
	"bot":                        {"content", "schedule", "leaderboard", "leaderboard/store", "bot/reply", "bot/roster"},
	"bot/web":                    {},
	"bot/gateway":                {"bot", "bot/roster", "leaderboard", "content", "bot/web"},
	"cmd/tallybell":              {"content", "schedule", "leaderboard", "leaderboard/store", "bot", "bot/reply", "bot/roster", "bot/gateway"},
	"deploy/e2e":                 {},
}

// redisWriters are the only folders that may import a Redis client or server.
var redisWriters = []string{"leaderboard/store", "leaderboard/store/embedded"}

func TestImportsFollowTheHouse(t *testing.T) {
	root := filepath.Join("..", "..")
	seen := map[string]bool{}
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && d.Name() != ".." && strings.HasPrefix(d.Name(), ".") {
			return fs.SkipDir
		}
		if !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		rel, err := filepath.Rel(root, filepath.Dir(path))
		if err != nil {
			return err
		}
		folder := filepath.ToSlash(rel)
		seen[folder] = true
		may, known := arrows[folder]
		if !known {
			t.Errorf("%s: a folder that the house does not have", folder)
			return nil
		}
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, spec := range f.Imports {
			imported, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			if ours, ok := strings.CutPrefix(imported, "tallybell/"); ok && !slices.Contains(may, ours) {
				t.Errorf("%s imports %s: the arrows do not allow it", path, ours)
			}
			redis := strings.Contains(imported, "go-redis") || strings.Contains(imported, "miniredis")
			if redis && !slices.Contains(redisWriters, folder) {
				t.Errorf("%s imports %s: only the store speaks to Redis", path, imported)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for folder := range arrows {
		if !seen[folder] {
			t.Errorf("%s: the house has no such folder any more; take it out of this list", folder)
		}
	}
}

// The top level of the project holds these and dot-files, nothing else.
func TestTopLevel(t *testing.T) {
	entries, err := os.ReadDir(filepath.Join("..", ".."))
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"cmd", "bot", "schedule", "leaderboard", "content", "deploy", "go.mod", "go.sum", "README.md", "DEVELOPERS.md", "LICENSE",
		"tallybell", "tallybell-data", "tallybell-demo"} // the last three are ignored by git
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), ".") && !slices.Contains(want, e.Name()) {
			t.Errorf("%s does not belong at the top level", e.Name())
		}
	}
}
