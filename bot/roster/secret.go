package roster

import (
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"strings"
)

// errMalformed is a secret that is not CLUB.SECRET.
var errMalformed = errors.New("not CLUB.SECRET")

// secretBytes is how much randomness a new invite or token holds.
const secretBytes = 24

// NewToken makes a fresh secret of the form CLUB.SECRET, for example to be written to a coach's token file.
func NewToken(club string) string {
	b := make([]byte, secretBytes)
	rand.Read(b) // never fails
	return club + "." + base64.RawURLEncoding.EncodeToString(b)
}

// digest is all that is kept of a secret: the SHA-256 of the whole of it, in hexadecimal.
func digest(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}

// readSecret takes the secret out of what a person pasted, which may be the whole link, and checks that it is of this
// club.
func readSecret(club, text string) (string, error) {
	s := strings.TrimSpace(text)
	if i := strings.LastIndex(s, "#join="); i >= 0 {
		s = s[i+len("#join="):]
	}
	of, rest, ok := strings.Cut(s, ".")
	if !ok || rest == "" || len(s) > 200 || !validClubID(of) {
		return "", errMalformed
	}
	if of != club {
		return "", ErrOtherClub
	}
	return s, nil
}

// ClubOf returns the club that a token or an invite names, "" when it names none.
func ClubOf(secret string) string {
	s := strings.TrimSpace(secret)
	if i := strings.LastIndex(s, "#join="); i >= 0 {
		s = s[i+len("#join="):]
	}
	club, rest, ok := strings.Cut(s, ".")
	if !ok || rest == "" || !validClubID(club) {
		return ""
	}
	return club
}

// tokenFrom derives the token that an invite gives to the holder of a client-made key.
func tokenFrom(club, invite string, key []byte) string {
	mac := hmac.New(sha256.New, key)
	mac.Write([]byte("tallybell token\x00" + invite))
	return club + "." + base64.RawURLEncoding.EncodeToString(mac.Sum(nil))
}

// joinKey reads a client-made key: 32 bytes in base64url, with or without padding. "" makes a fresh one.
func joinKey(text string) ([]byte, error) {
	if text == "" {
		b := make([]byte, 32)
		rand.Read(b) // never fails
		return b, nil
	}
	b, err := base64.RawURLEncoding.DecodeString(strings.TrimRight(text, "="))
	if err != nil || len(b) != 32 {
		return nil, ErrBadKey
	}
	return b, nil
}

// idLetters has neither vowels nor letters that are taken for figures, so that ids are easily read out and spell
// nothing.
const idLetters = "bcdfghjkmnpqrstvwxz23456789"

// newID makes a short random member id.
func newID() string {
	out := make([]byte, 0, 7)
	for len(out) < cap(out) {
		var b [16]byte
		rand.Read(b[:]) // never fails
		for _, x := range b {
			if i := int(x) & 31; i < len(idLetters) && len(out) < cap(out) {
				out = append(out, idLetters[i])
			}
		}
	}
	return string(out)
}
