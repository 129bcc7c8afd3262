// Package web holds the pages: the member's conversation and the coach's desk. Templates, styles, scripts and pictures
// are embedded; views are plain structs, filled by whoever serves the pages. It imports nothing else of this module.
package web

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"path"
	"strings"
)

//go:embed assets templates
var files embed.FS

// Pages renders the pages. It is made once and safe for concurrent use.
type Pages struct {
	templates *template.Template
	assets    map[string]asset // by name below assets/
}

type asset struct {
	body []byte
	kind string // content type
	tag  string // ETag
}

// kinds are the content types of the assets, which must not depend on the machine's own table.
func kind(name string) string {
	switch path.Ext(name) {
	case ".css":
		return "text/css; charset=utf-8"
	case ".js":
		return "text/javascript; charset=utf-8"
	case ".svg":
		return "image/svg+xml"
	case ".webmanifest":
		return "application/manifest+json"
	}
	return "application/octet-stream"
}

// New parses the templates and reads the assets; an error is a fault of the build.
func New() (*Pages, error) {
	t, err := template.New("pages").Funcs(helpers()).ParseFS(files, "templates/*.html")
	if err != nil {
		return nil, fmt.Errorf("templates: %w", err)
	}
	p := &Pages{templates: t, assets: map[string]asset{}}
	err = fs.WalkDir(files, "assets", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		body, err := files.ReadFile(name)
		if err != nil {
			return err
		}
		sum := sha256.Sum256(body)
		p.assets[strings.TrimPrefix(name, "assets/")] = asset{body, kind(name), `"` + hex.EncodeToString(sum[:8]) + `"`}
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("assets: %w", err)
	}
	return p, nil
}

// Routes serves what needs no sign-in and no data: the assets and the script that keeps the member's page at hand.
func (p *Pages) Routes(mux *http.ServeMux) {
	mux.HandleFunc("GET /assets/{name}", func(w http.ResponseWriter, r *http.Request) { p.serve(w, r, r.PathValue("name")) })
	mux.HandleFunc("GET /sw.js", func(w http.ResponseWriter, r *http.Request) { p.serve(w, r, "sw.js") })
}

func (p *Pages) serve(w http.ResponseWriter, r *http.Request, name string) {
	a, ok := p.assets[name]
	Harden(w.Header())
	if !ok {
		http.NotFound(w, r)
		return
	}
	h := w.Header()
	h.Set("Content-Type", a.kind)
	h.Set("ETag", a.tag)
	h.Set("Cache-Control", "no-cache")
	if r.Header.Get("If-None-Match") == a.tag {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	_, _ = w.Write(a.body)
}

// policy lets a page load from its own address only: no inline script or style, no frame around it.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; " +
	"manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// Harden sets the headers that every page and asset carries.
func Harden(h http.Header) {
	h.Set("Content-Security-Policy", policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=()")
}

// keepOrigin is for pages with forms: under no-referrer a browser sends "Origin: null" with a form, and the server could
// not tell its own page from another's. Other sites still learn nothing.
func keepOrigin(h http.Header) { h.Set("Referrer-Policy", "same-origin") }

// write renders a template whole before anything is sent, so that a fault never leaves half a page.
func (p *Pages) write(w http.ResponseWriter, status int, name string, view any) error {
	var b bytes.Buffer
	if err := p.templates.ExecuteTemplate(&b, name, view); err != nil {
		return fmt.Errorf("page %s: %w", name, err)
	}
	h := w.Header()
	Harden(h)
	if name != "member" {
		keepOrigin(h)
	}
	h.Set("Content-Type", "text/html; charset=utf-8")
	if h.Get("Cache-Control") == "" {
		h.Set("Cache-Control", "no-store")
	}
	w.WriteHeader(status)
	_, err := w.Write(b.Bytes())
	return err
}
