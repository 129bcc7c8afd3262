package gateway

import (
	"net/http"
	"net/netip"
	"net/url"
	"strings"
)

// clientAddress returns where a request comes from. What X-Forwarded-For says counts only as far as trusted proxies
// have written it: from the right, up to the first address that is not one of them.
func clientAddress(r *http.Request, trusted []netip.Prefix) netip.Addr {
	peer, err := netip.ParseAddrPort(r.RemoteAddr)
	if err != nil {
		return netip.Addr{}
	}
	at := peer.Addr().Unmap()
	if !isTrusted(at, trusted) {
		return at
	}
	hops := strings.Split(strings.Join(r.Header.Values("X-Forwarded-For"), ","), ",")
	for i := len(hops) - 1; i >= 0; i-- {
		hop, err := netip.ParseAddr(strings.TrimSpace(hops[i]))
		if err != nil {
			return at
		}
		at = hop.Unmap()
		if !isTrusted(at, trusted) {
			return at
		}
	}
	return at
}

func isTrusted(a netip.Addr, trusted []netip.Prefix) bool {
	for _, p := range trusted {
		if p.Contains(a) {
			return true
		}
	}
	return false
}

// addressKey is what limits count by: an IPv4 address, or the /64 that one IPv6 line usually has.
func addressKey(a netip.Addr) string {
	if a.Is6() {
		if p, err := a.WithZone("").Prefix(64); err == nil {
			return p.String()
		}
	}
	return a.String()
}

// isHTTPS reports whether the client speaks https, to us or to a trusted proxy before us.
func (s *Server) isHTTPS(r *http.Request) bool {
	if r.TLS != nil || s.public.Scheme == "https" {
		return true
	}
	peer, err := netip.ParseAddrPort(r.RemoteAddr)
	return err == nil && isTrusted(peer.Addr().Unmap(), s.o.TrustedProxies) && r.Header.Get("X-Forwarded-Proto") == "https"
}

// sameOrigin reports whether a request's Origin is this server: its public address, or the host that was asked.
func (s *Server) sameOrigin(r *http.Request) bool {
	o, err := url.Parse(r.Header.Get("Origin"))
	if err != nil || o.Host == "" || (o.Scheme != "http" && o.Scheme != "https") {
		return false
	}
	if s.public.Host != "" && strings.EqualFold(o.Host, s.public.Host) && o.Scheme == s.public.Scheme {
		return true
	}
	return strings.EqualFold(o.Host, r.Host)
}
