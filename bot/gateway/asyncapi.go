package gateway

import (
	"net/http"

	"tallybell/bot"
)

// asyncAPI serves the description of the chat's frames.
func (s *Server) asyncAPI(w http.ResponseWriter, r *http.Request, _ caller) error {
	return writeJSON(w, describeChat(s.public.Host))
}

// describeChat returns an AsyncAPI 3 document of the chat at a host.
func describeChat(host string) object {
	if host == "" {
		host = "localhost"
	}
	frames := chatFrames()
	messages, channel := object{}, object{}
	for name, f := range frames {
		messages[name] = object{"name": name, "contentType": "application/json", "summary": f.summary, "payload": f.payload}
		channel[name] = object{"$ref": "#/components/messages/" + name}
	}
	return object{
		"asyncapi": "3.0.0",
		"info": object{"title": "tallybell chat", "version": "1",
			"description": "WebSocket, subprotocol " + protocol + ". Text frames of one JSON object each; at most 32 KiB from a member and 256 KiB from a coach. " +
				"Connect with ?since=CURSOR of the last post that was read; every later post comes once, in order. " +
				"Close codes: 1000 bye, 1001 server going away (reconnect with jitter), 1008 not allowed, 1009 too big, 1013 try later."},
		"defaultContentType": "application/json",
		"servers":            object{"club": object{"host": host, "protocol": "wss", "security": []object{{"type": "http", "scheme": "bearer"}}}},
		"channels": object{"chat": object{"address": "/chat", "messages": channel,
			"bindings": object{"ws": object{"method": "GET", "query": object{"type": "object", "properties": object{"since": stringOf("A cursor")}}}}}},
		"operations": object{
			"hear": operation("send", "What the server sends.", "welcome", "post", "problem"),
			"talk": operation("receive", "What a client sends.", "say", "seen"),
		},
		"components": object{"messages": messages},
	}
}

type chatFrame struct {
	summary string
	payload object
}

func chatFrames() map[string]chatFrame {
	cursor := stringOf("A number on the club's line, as a string; greater is later.")
	re := stringOf("The id of the message that this answers.")
	return map[string]chatFrame{
		"welcome": {"First, and once.", payload("welcome", object{
			"member": object{"type": "object", "properties": object{"id": stringOf(""), "name": stringOf("")}, "required": []string{"id", "name"}},
			"role":   oneOf("member", "coach"), "cursor": cursor}, "member", "role", "cursor")},
		"post": {"One message of the conversation. The text alone is always enough to read.", payload("post", object{
			"cursor": cursor, "kind": oneOf(string(bot.SessionPost), string(bot.AnswerPost), string(bot.ReportPost), string(bot.NoticePost), string(bot.CoachPost)),
			"at": object{"type": "string", "format": "date-time"}, "date": object{"type": "string", "format": "date"}, "re": re,
			"said": stringOf("What an answer answers, so that every device shows both sides."), "text": stringOf(""),
			"card": object{"type": "object", "description": "For a richer page."}}, "cursor", "kind", "at", "text")},
		"problem": {"What could not be done, and what to do.", payload("problem", object{
			"re": re, "code": oneOf(bot.NotSaved, bot.IDReused, bot.TooFast, bot.TooLong, bot.BadFrame), "text": stringOf("")}, "code", "text")},
		"say": {"A message. Each id is answered once; a repeat gets the same answer.", payload("say", object{
			"id": object{"type": "string", "minLength": 1, "maxLength": maxID, "description": "Made by the client, random."}, "text": stringOf("")}, "id", "text")},
		"seen": {"The page showed everything up to a cursor.", payload("seen", object{"cursor": cursor}, "cursor")},
	}
}

func payload(kind string, props object, required ...string) object {
	props["type"] = object{"const": kind}
	return object{"type": "object", "properties": props, "required": append([]string{"type"}, required...), "additionalProperties": false}
}

func stringOf(about string) object {
	if about == "" {
		return object{"type": "string"}
	}
	return object{"type": "string", "description": about}
}

func oneOf(values ...string) object { return object{"type": "string", "enum": values} }

func operation(action, about string, messages ...string) object {
	refs := []object{}
	for _, m := range messages {
		refs = append(refs, object{"$ref": "#/channels/chat/messages/" + m})
	}
	return object{"action": action, "summary": about, "channel": object{"$ref": "#/channels/chat"}, "messages": refs}
}
