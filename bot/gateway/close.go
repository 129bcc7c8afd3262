package gateway

import (
	"fmt"
	"math/rand/v2"

	"github.com/gorilla/websocket"
)

// The policy: a client that is closed with
//
//	1000        said bye itself: it comes back when its user does;
//	1001, 1013  is welcome again: it reconnects with its last cursor after a random wait (the reason names one);
//	1008        is not: its token holds no longer, and the user must be asked to join again;
//	1002, 1003, 1007, 1009  broke the protocol: it mends the frame before it reconnects.
//
// Any other end (no close frame) is a broken line: reconnect after a random wait that grows.
const (
	closeBye        = websocket.CloseNormalClosure
	closeGoingAway  = websocket.CloseGoingAway
	closeBadUTF8    = websocket.CloseInvalidFramePayloadData
	closeNotAllowed = websocket.ClosePolicyViolation
	closeTryLater   = websocket.CloseTryAgainLater
)

// closing is why the server ends a connection.
type closing struct {
	code   int
	reason string // at most 123 bytes
}

// jitterSeconds spreads the reconnects of everyone who is sent away at once.
const jitterSeconds = 15

func goingAway() *closing {
	return &closing{closeGoingAway, fmt.Sprintf("server going away; reconnect in %d s", 1+rand.IntN(jitterSeconds))}
}

func tooSlow() *closing {
	return &closing{closeTryLater, fmt.Sprintf("reading too slowly; reconnect with your cursor in %d s", 1+rand.IntN(jitterSeconds))}
}

func notAllowed() *closing {
	return &closing{closeNotAllowed, "this token is no longer valid; join again"}
}

func badUTF8() *closing {
	return &closing{closeBadUTF8, "text frames are UTF-8"}
}

// closeFrame is the whole close frame, unmasked, as the server writes it.
func closeFrame(c *closing) []byte {
	body := websocket.FormatCloseMessage(c.code, c.reason)
	return append([]byte{0x80 | websocket.CloseMessage, byte(len(body))}, body...)
}
