package main

import (
	"fmt"
	"io"
	"path"

	"github.com/urfave/cli/v3"

	"tallybell/content"
)

// openSheet reads a session sheet with the movements and kit of its own that the club keeps beside it, and returns the
// library that holds them. What is wrong with any of these files goes to problems, a line each.
func openSheet(problems io.Writer, file string) (content.Session, *content.Library, error) {
	text, err := readSheetFile(file)
	if err != nil {
		return content.Session{}, nil, cli.Exit(fmt.Sprintf("cannot read the sheet: %v", err), exitOutside)
	}
	lib, wrong, err := folderLibrary(path.Dir(file))
	if err != nil {
		return content.Session{}, nil, cli.Exit(err.Error(), exitOutside)
	}
	session, told := content.ParseWith(lib, file, text)
	for _, p := range content.Errors(told) {
		wrong = append(wrong, problem{file, p})
	}
	if len(wrong) > 0 {
		for _, p := range wrong {
			fmt.Fprintln(problems, p)
		}
		return content.Session{}, nil, cli.Exit("", exitInput)
	}
	return session, lib, nil
}
