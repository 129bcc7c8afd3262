package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"
	"time"

	"github.com/urfave/cli/v3"
)

// remote calls a running server's API.
type remote struct {
	base  string
	token string
	http  *http.Client
}

// remoteFlags are shared by the commands that speak to a running server.
func remoteFlags(more ...cli.Flag) []cli.Flag {
	return append([]cli.Flag{
		&cli.StringFlag{Name: "server", Value: "http://127.0.0.1:8080", Sources: env("SERVER"), Usage: "where the server runs"},
		&cli.StringFlag{Name: "token", Sources: env("TOKEN"), Usage: "the coach's token; better given as TALLYBELL_TOKEN, which other users of this machine cannot see"},
	}, more...)
}

// remoteWait is the longest that a call may take; a rebuild of a large club is the longest.
const remoteWait = 10 * time.Minute

func newRemote(c *cli.Command) (*remote, error) {
	u, err := url.Parse(c.String("server"))
	if err != nil || u.Host == "" || u.Scheme != "http" && u.Scheme != "https" {
		return nil, cli.Exit(fmt.Sprintf("--server %q is not a web address: write it like http://127.0.0.1:8080", c.String("server")), exitUsage)
	}
	token := strings.TrimSpace(c.String("token"))
	if token == "" {
		return nil, cli.Exit("no coach token: put it into TALLYBELL_TOKEN (it stands in the server's --coach-token-file)", exitUsage)
	}
	return &remote{base: strings.TrimRight(u.String(), "/"), token: token, http: &http.Client{Timeout: remoteWait}}, nil
}

// call sends one request and returns the body of a good answer. Refusals of the input are exit 1, everything else
// exit 3.
func (r *remote) call(ctx context.Context, method, path, accept string, body any) ([]byte, error) {
	var in io.Reader
	if body != nil {
		b, err := json.Marshal(body)
		if err != nil {
			return nil, fmt.Errorf("request: %w", err)
		}
		in = bytes.NewReader(b)
	}
	req, err := http.NewRequestWithContext(ctx, method, r.base+path, in)
	if err != nil {
		return nil, cli.Exit(err.Error(), exitUsage)
	}
	req.Header.Set("Authorization", "Bearer "+r.token)
	req.Header.Set("Accept", accept)
	if body != nil {
		req.Header.Set("Content-Type", "application/json")
	}
	resp, err := r.http.Do(req)
	if err != nil {
		return nil, outside("%s does not answer: %w; is the server running?", r.base, err)
	}
	defer resp.Body.Close()
	got, err := io.ReadAll(resp.Body)
	if err != nil {
		return nil, outside("reading the answer of %s: %w", r.base, err)
	}
	if resp.StatusCode < 300 {
		return got, nil
	}
	return nil, refusal(resp.StatusCode, got)
}

// refusal turns a problem document into an error.
func refusal(status int, body []byte) error {
	var p struct{ Title, Detail string }
	_ = json.Unmarshal(body, &p) // what is no problem document is told by its status alone
	text := strings.TrimSpace(p.Detail)
	if text == "" {
		text = strings.TrimSpace(p.Title)
	}
	if text == "" {
		text = http.StatusText(status)
	}
	code := exitOutside
	switch status {
	case http.StatusUnauthorized:
		text = "the server does not know this coach token (TALLYBELL_TOKEN, or --token): " + text
	case http.StatusBadRequest, http.StatusNotFound, http.StatusConflict, http.StatusRequestEntityTooLarge, http.StatusUnprocessableEntity:
		code = exitInput
	}
	return exitError{errors.New(text), code}
}

// show reads what the server has under path. With --csv or --json it is printed as it came, a line end behind it, and
// done; otherwise it is decoded into the value.
func (r *remote) show(ctx context.Context, c *cli.Command, path string, into any) (done bool, err error) {
	accept := "application/json"
	if c.Bool("csv") {
		accept = "text/csv"
	}
	b, err := r.call(ctx, "GET", path, accept, nil)
	if err != nil {
		return false, err
	}
	if c.Bool("csv") || c.Bool("json") {
		_, err := fmt.Fprintln(c.Root().Writer, strings.TrimRight(string(b), "\r\n"))
		return true, err
	}
	if err := json.Unmarshal(b, into); err != nil {
		return false, outside("the server's answer to %s is not what was asked for: %w", path, err)
	}
	return false, nil
}
