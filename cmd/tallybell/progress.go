package main

import (
	"fmt"
	"io"
	"os"
	"time"
)

// progress tells on a terminal how many bytes have gone through; elsewhere it is silent.
type progress struct {
	out  io.Writer // nil when nobody looks
	what string
	n    int64
	told time.Time
}

func newProgress(what string) *progress {
	p := &progress{what: what}
	if st, err := os.Stderr.Stat(); err == nil && st.Mode()&os.ModeCharDevice != 0 {
		p.out = os.Stderr
	}
	return p
}

// Write counts what goes through.
func (p *progress) Write(b []byte) (int, error) {
	p.n += int64(len(b))
	if p.out != nil && time.Since(p.told) > 200*time.Millisecond {
		p.told = time.Now()
		fmt.Fprintf(p.out, "\r%s %.1f MB ", p.what, float64(p.n)/1e6)
	}
	return len(b), nil
}

// end clears the line.
func (p *progress) end() {
	if p.out != nil {
		fmt.Fprintf(p.out, "\r%-40s\r", "")
	}
}
