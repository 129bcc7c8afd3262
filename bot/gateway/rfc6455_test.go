package gateway

import (
	"bufio"
	"bytes"
	"encoding/hex"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"
)

// raw speaks WebSocket byte by byte, so that what is checked is what goes over the line.
type raw struct {
	t    *testing.T
	conn net.Conn
	r    *bufio.Reader
}

// rawDial makes the opening handshake of RFC 6455, section 1.3, with its key, and reads the welcome.
func (r *rig) rawDial(t *testing.T, token string) *raw {
	t.Helper()
	conn, err := net.Dial("tcp", r.addr)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close() })
	_ = conn.SetDeadline(time.Now().Add(wait))
	fmt.Fprintf(conn, "GET /chat?since=9000000000000000 HTTP/1.1\r\nHost: %s\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n"+
		"Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Protocol: tallybell.v1\r\nAuthorization: Bearer %s\r\n\r\n", r.addr, token)
	c := &raw{t, conn, bufio.NewReader(conn)}
	resp, err := http.ReadResponse(c.r, nil)
	if err != nil {
		t.Fatal(err)
	}
	if resp.StatusCode != http.StatusSwitchingProtocols {
		t.Fatalf("status %d", resp.StatusCode)
	}
	// RFC 6455, section 1.3: the accept value of the sample key (also from its SHA-1).
	if got := resp.Header.Get("Sec-WebSocket-Accept"); got != "s3pPLMBiTxaQ9kYGzzhZRbK+xOo=" {
		t.Errorf("Sec-WebSocket-Accept %q", got)
	}
	if op, _, p := c.frame(); op != 0x81 || !strings.Contains(string(p), "welcome") {
		t.Fatalf("first frame %x %s", op, p)
	}
	return c
}

// frame reads one frame: its first byte, its header and its payload.
func (c *raw) frame() (first byte, header, payload []byte) {
	c.t.Helper()
	header = make([]byte, 2)
	c.full(header)
	n := uint64(header[1])
	if n > 127 {
		c.t.Fatalf("the server masks: % x", header)
	}
	more := map[uint64]int{126: 2, 127: 8}[n]
	if more > 0 {
		ext := make([]byte, more)
		c.full(ext)
		header, n = append(header, ext...), 0
		for _, b := range ext {
			n = n<<8 | uint64(b)
		}
	}
	payload = make([]byte, n)
	c.full(payload)
	return header[0], header, payload
}

func (c *raw) full(p []byte) {
	c.t.Helper()
	if _, err := io.ReadFull(c.r, p); err != nil {
		c.t.Fatalf("read: %v", err)
	}
}

func (c *raw) write(p ...byte) {
	c.t.Helper()
	if _, err := c.conn.Write(p); err != nil {
		c.t.Fatal(err)
	}
}

// sampleKey is the masking key of RFC 6455, section 5.7.
var sampleKey = []byte{0x37, 0xfa, 0x21, 0x3d}

// masked is a client's frame with the sample key.
func masked(first byte, payload []byte) []byte {
	f := []byte{first}
	switch n := len(payload); {
	case n < 126:
		f = append(f, 0x80|byte(n))
	case n < 1<<16:
		f = append(f, 0x80|126, byte(n>>8), byte(n))
	default:
		f = append(f, 0x80|127, 0, 0, 0, 0, byte(n>>24), byte(n>>16), byte(n>>8), byte(n))
	}
	f = append(f, sampleKey...)
	for i, b := range payload {
		f = append(f, b^sampleKey[i%4])
	}
	return f
}

func unhex(t testing.TB, s string) []byte {
	t.Helper()
	b, err := hex.DecodeString(strings.ReplaceAll(s, " ", ""))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// RFC 6455, section 5.7: examples of frames.
func TestServerFramesHaveThePublishedHeaders(t *testing.T) {
	for name, tc := range map[string]struct {
		n    int
		want string
	}{
		"single-frame unmasked text \"Hello\"": {5, "81 05"},
		"256 bytes (the example's text twin)":  {256, "81 7E 0100"},
		"64 KiB (the example's text twin)":     {65536, "81 7F 0000000000010000"},
		"125 bytes, the last short length":     {125, "81 7D"},
		"126 bytes, the first 16-bit length":   {126, "81 7E 007E"},
		"65535 bytes, the last 16-bit length":  {65535, "81 7E FFFF"},
	} {
		if got := appendHeader(nil, tc.n); !bytes.Equal(got, unhex(t, tc.want)) {
			t.Errorf("%s: % x, want %s", name, got, tc.want)
		}
		whole := frameInPlace(append(make([]byte, maxHeader), bytes.Repeat([]byte("x"), tc.n)...))
		if want := append(unhex(t, tc.want), bytes.Repeat([]byte("x"), tc.n)...); !bytes.Equal(whole, want) {
			t.Errorf("%s: the header does not stand before the payload", name)
		}
	}
	if got := frameInPlace(append(make([]byte, maxHeader), "Hello"...)); !bytes.Equal(got, unhex(t, "81 05 48 65 6c 6c 6f")) {
		t.Errorf("Hello: % x", got)
	}
}

// RFC 6455, section 5.7: the masked examples, sent to the server. "Hello" is no JSON, so it is a bad frame.
func TestServerReadsThePublishedFrames(t *testing.T) {
	r := start(t)
	if got := masked(0x81, []byte("Hello")); !bytes.Equal(got, unhex(t, "81 85 37 fa 21 3d 7f 9f 4d 51 58")) {
		t.Fatalf("the test's own masking: % x", got)
	}
	c := r.rawDial(t, r.ada)
	c.write(unhex(t, "81 85 37 fa 21 3d 7f 9f 4d 51 58")...)
	if _, _, p := c.frame(); !strings.Contains(string(p), "bad_frame") {
		t.Errorf("masked Hello: %s", p)
	}
	// The fragments "Hel" and "lo", masked as a client must.
	c.write(masked(0x01, []byte("Hel"))...)
	c.write(masked(0x80, []byte("lo"))...)
	if _, _, p := c.frame(); !strings.Contains(string(p), "bad_frame") {
		t.Errorf("fragmented Hello: %s", p)
	}
	// A ping with "Hello" is answered with a pong with "Hello": unmasked 8a 05 48 65 6c 6c 6f.
	c.write(masked(0x89, []byte("Hello"))...)
	if op, h, p := c.frame(); op != 0x8a || !bytes.Equal(append(h, p...), unhex(t, "8a 05 48 65 6c 6c 6f")) {
		t.Errorf("pong % x % x", h, p)
	}
	// The masked pong of the example, unsolicited: nothing comes of it.
	c.write(unhex(t, "8a 85 37fa213d 7f9f4d5158")...)
	// 256 bytes and 64 KiB of binary: refused, with the connection going on (the second is over a member's 32 KiB).
	c.write(masked(0x82, make([]byte, 256))...)
	if _, _, p := c.frame(); !strings.Contains(string(p), "binary") {
		t.Errorf("256 bytes of binary: %s", p)
	}
	coach := r.rawDial(t, r.coach)
	coach.write(masked(0x82, make([]byte, 65536))...)
	if _, _, p := coach.frame(); !strings.Contains(string(p), "binary") {
		t.Errorf("64 KiB of binary from a coach: %s", p)
	}
}

func TestFragmentsWithAControlFrameBetween(t *testing.T) {
	r := start(t)
	c := r.rawDial(t, r.ada)
	text := []byte(`{"type":"say","id":"m","text":"14:32"}`)
	c.write(masked(0x01, text[:10])...)
	c.write(masked(0x89, nil)...)
	if op, _, _ := c.frame(); op != 0x8a {
		t.Errorf("got %x, want a pong in the middle of a message", op)
	}
	c.write(masked(0x00, text[10:20])...)
	c.write(masked(0x80, text[20:])...)
	if _, _, p := c.frame(); !strings.Contains(string(p), `"said":"14:32"`) {
		t.Errorf("got %s", p)
	}
}

// What breaks the protocol ends the connection with the code that RFC 6455 gives (sections 5.1 and 5.5 from memory;
// codes of section 7.4.1).
func TestProtocolErrorsEndTheConnection(t *testing.T) {
	r := start(t)
	unmasked := append([]byte{0x81, 5}, "Hello"...)
	for name, tc := range map[string]struct {
		send []byte
		code int
	}{
		"unmasked frame":                 {unmasked, 1002},
		"control frame over 125 bytes":   {masked(0x89, make([]byte, 126)), 1002},
		"fragmented control frame":       {masked(0x09, []byte("x")), 1002},
		"reserved opcode":                {masked(0x83, nil), 1002},
		"reserved bit":                   {masked(0xc1, []byte("{}")), 1002},
		"continuation of nothing":        {masked(0x80, []byte("x")), 1002},
		"text within a message":          {append(masked(0x01, []byte("x")), masked(0x81, []byte("y"))...), 1002},
		"text that is not UTF-8":         {masked(0x81, []byte("{\"type\":\"\xc3\x28\"}")), 1007},
		"more than 32 KiB":               {masked(0x81, make([]byte, 32<<10+1)), 1009},
		"more than 32 KiB in fragments":  {append(masked(0x01, make([]byte, 20<<10)), masked(0x80, make([]byte, 20<<10))...), 1009},
		"close with a code never sent":   {masked(0x88, []byte{0x03, 0xed}), 1002}, // 1005
		"close is answered with its own": {masked(0x88, []byte{0x03, 0xe8}), 1000},
		"close, going away":              {masked(0x88, []byte{0x03, 0xe9}), 1001},
	} {
		t.Run(name, func(t *testing.T) {
			c := r.rawDial(t, r.ada)
			c.write(tc.send...)
			for {
				op, _, p := c.frame()
				if op != 0x88 {
					if tc.code != 1007 || !strings.Contains(string(p), "bad_frame") {
						t.Fatalf("got %x %s", op, p)
					}
					continue
				}
				if code := int(p[0])<<8 | int(p[1]); code != tc.code {
					t.Errorf("closed with %d %s, want %d", code, p[2:], tc.code)
				}
				break
			}
			if _, err := c.r.ReadByte(); err != io.EOF {
				t.Errorf("after the close frame: %v, want the end", err)
			}
		})
	}
}

func TestHandshakesThatAreNone(t *testing.T) {
	r := start(t)
	for name, tc := range map[string]struct {
		header []string
		status int
	}{
		"plain GET":      {nil, 400},
		"no upgrade":     {[]string{"Connection", "Upgrade", "Sec-WebSocket-Version", "13", "Sec-WebSocket-Key", "dGhlIHNhbXBsZSBub25jZQ=="}, 400},
		"other version":  {[]string{"Connection", "Upgrade", "Upgrade", "websocket", "Sec-WebSocket-Version", "8", "Sec-WebSocket-Key", "dGhlIHNhbXBsZSBub25jZQ=="}, 426},
		"key too short":  {[]string{"Connection", "Upgrade", "Upgrade", "websocket", "Sec-WebSocket-Version", "13", "Sec-WebSocket-Key", "c2hvcnQ="}, 400},
		"key is missing": {[]string{"Connection", "Upgrade", "Upgrade", "websocket", "Sec-WebSocket-Version", "13"}, 400},
	} {
		t.Run(name, func(t *testing.T) {
			resp, body := r.call("GET", "/chat", r.ada, "", tc.header...)
			if resp.StatusCode != tc.status || resp.Header.Get("Content-Type") != "application/problem+json" {
				t.Errorf("%d %s", resp.StatusCode, body)
			}
			// RFC 6455, section 4.2.2 (from memory): the version that is understood is named.
			if got := resp.Header.Get("Sec-WebSocket-Version"); got != "13" {
				t.Errorf("Sec-WebSocket-Version %q", got)
			}
		})
	}
	if resp, _ := r.call("POST", "/chat", r.ada, ""); resp.StatusCode != 405 {
		t.Errorf("POST: %d", resp.StatusCode)
	}
}
