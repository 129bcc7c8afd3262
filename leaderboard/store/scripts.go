package store

import (
	"crypto/sha1"
	_ "embed"
	"encoding/hex"
)

// format of what the scripts write; each of them refuses a club of a higher one.
const format = 1

//go:embed say.lua
var sayText string

//go:embed post.lua
var postText string

//go:embed change.lua
var changeText string

//go:embed seen.lua
var seenText string

//go:embed import.lua
var importText string

// script is a Lua text and the digest that EVALSHA calls it by.
type script struct {
	name, text, sha string
}

// scripts are the only writers of the store.
type scripts struct{ say, post, change, seen, imports script }

func newScripts() scripts {
	return scripts{newScript("say", sayText), newScript("post", postText), newScript("change", changeText),
		newScript("seen", seenText), newScript("import", importText)}
}

func newScript(name, text string) script {
	sum := sha1.Sum([]byte(text)) // the name Redis itself gives a script
	return script{name: name, text: text, sha: hex.EncodeToString(sum[:])}
}

// all lists the scripts, to load them before the first call.
func (s scripts) all() []script { return []script{s.say, s.post, s.change, s.seen, s.imports} }
