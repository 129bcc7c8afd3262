package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"

	"github.com/urfave/cli/v3"

	"tallybell/bot"
	"tallybell/content"
)

// mostAnswer bounds what is read of an answer that is held in memory.
const mostAnswer = 64 << 20

// stream sends a body as it is read and returns the answer, however long either takes. Its caller closes it.
func (r *remote) stream(ctx context.Context, method, path, kind string, body io.Reader) (*http.Response, error) {
	req, err := http.NewRequestWithContext(ctx, method, r.base+path, body)
	if err != nil {
		return nil, cli.Exit(err.Error(), exitUsage)
	}
	req.Header.Set("Authorization", "Bearer "+r.token)
	if body != nil {
		req.Header.Set("Content-Type", kind)
	}
	resp, err := (&http.Client{}).Do(req)
	if err != nil {
		return nil, outside("%s does not answer: %w; is the server running?", r.base, err)
	}
	return resp, nil
}

// export writes the club that the token belongs to.
func (r *remote) export(ctx context.Context, w io.Writer) error {
	resp, err := r.stream(ctx, "GET", "/api/export", "", nil)
	if err != nil {
		return err
	}
	defer resp.Body.Close()
	if resp.StatusCode >= 300 {
		b, _ := io.ReadAll(io.LimitReader(resp.Body, mostAnswer))
		return refusal(resp.StatusCode, b)
	}
	if _, err := io.Copy(w, resp.Body); err != nil {
		return outside("the export broke off, so it is not whole: %w", err)
	}
	return nil
}

// importClub makes the club of an export.
func (r *remote) importClub(ctx context.Context, from io.Reader) error {
	resp, err := r.stream(ctx, "POST", "/api/import", "application/jsonl", from)
	if err != nil {
		return err
	}
	defer resp.Body.Close()
	b, err := io.ReadAll(io.LimitReader(resp.Body, mostAnswer))
	if err != nil {
		return outside("reading the answer of %s: %w", r.base, err)
	}
	if resp.StatusCode >= 300 {
		return refusal(resp.StatusCode, b)
	}
	return nil
}

// importResults enters a table of results. raw is the answer as it came; a table with problems is an answer as well.
func (r *remote) importResults(ctx context.Context, table []byte, partial bool) (got bot.Imported, raw []byte, err error) {
	path := "/api/results"
	if partial {
		path += "?partial=1"
	}
	resp, err := r.stream(ctx, "POST", path, "text/csv", bytes.NewReader(table))
	if err != nil {
		return got, nil, err
	}
	defer resp.Body.Close()
	raw, err = io.ReadAll(io.LimitReader(resp.Body, mostAnswer))
	if err != nil {
		return got, nil, outside("reading the answer of %s: %w", r.base, err)
	}
	if resp.StatusCode == http.StatusUnprocessableEntity {
		var p struct{ Errors []content.Problem }
		if err := json.Unmarshal(raw, &p); err == nil && len(p.Errors) > 0 {
			got.Problems = p.Errors
			return got, raw, nil
		}
	}
	if resp.StatusCode >= 300 {
		return got, nil, refusal(resp.StatusCode, raw)
	}
	if err := json.Unmarshal(raw, &got); err != nil {
		return got, nil, outside("the server's answer is not of an import: %w", err)
	}
	for i := range got.Warnings {
		got.Warnings[i].Warning = true
	}
	return got, raw, nil
}
