package embedded

import (
	"bytes"
	"fmt"
	"strconv"
)

// appendCommand writes one command the way Redis clients send it.
func appendCommand(b []byte, words ...string) []byte {
	b = append(b, '*')
	b = strconv.AppendInt(b, int64(len(words)), 10)
	b = append(b, "\r\n"...)
	for _, w := range words {
		b = append(b, '$')
		b = strconv.AppendInt(b, int64(len(w)), 10)
		b = append(b, "\r\n"...)
		b = append(b, w...)
		b = append(b, "\r\n"...)
	}
	return b
}

// limits of what a log may hold, far above what the store writes
const (
	maxWords = 1 << 16
	maxWord  = 1 << 28
)

// cut is what a reader finds where the bytes end too early.
type cut struct{}

func (cut) Error() string { return "the file ends inside a command" }

// respReader reads commands from bytes, strictly as appendCommand writes them.
type respReader struct {
	b  []byte
	at int
}

// command reads one command. Its error is cut{} when the bytes end before the command does.
func (r *respReader) command() ([]string, error) {
	n, err := r.number('*', maxWords)
	if err != nil {
		return nil, err
	}
	if n == 0 {
		return nil, fmt.Errorf("a command without words")
	}
	words := make([]string, 0, min(n, 64))
	for range n {
		size, err := r.number('$', maxWord)
		if err != nil {
			return nil, err
		}
		if len(r.b)-r.at < size {
			return nil, cut{}
		}
		words = append(words, string(r.b[r.at:r.at+size]))
		r.at += size
		if err := r.literal("\r\n"); err != nil {
			return nil, err
		}
	}
	return words, nil
}

// number reads a mark, a decimal without leading zeros, and the line's end.
func (r *respReader) number(mark byte, limit int) (int, error) {
	if err := r.literal(string(mark)); err != nil {
		return 0, err
	}
	end := r.at
	for end < len(r.b) && r.b[end] >= '0' && r.b[end] <= '9' {
		end++
	}
	digits := r.b[r.at:end]
	if end == len(r.b) && len(digits) < 10 {
		return 0, cut{}
	}
	n, err := strconv.Atoi(string(digits))
	if err != nil || n > limit || digits[0] == '0' && len(digits) > 1 {
		return 0, fmt.Errorf("a bad length %q", clip(r.b[r.at:]))
	}
	r.at = end
	return n, r.literal("\r\n")
}

// literal reads exactly these bytes.
func (r *respReader) literal(want string) error {
	got := r.b[r.at:min(r.at+len(want), len(r.b))]
	if !bytes.HasPrefix([]byte(want), got) {
		return fmt.Errorf("%q where %q belongs", clip(got), want)
	}
	if len(got) < len(want) {
		return cut{}
	}
	r.at += len(want)
	return nil
}

func clip(b []byte) []byte { return b[:min(len(b), 24)] }
