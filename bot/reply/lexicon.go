package reply

import "strings"

// class says what a word can be. A word may be several things; where it stands decides.
type class uint64

const (
	clHour class = 1 << iota
	clMinute
	clSecond
	clKilo
	clPound
	clMetre
	clKilometre
	clMile
	clYard
	clReps
	clRounds
	clSets
	clCalories
	clNumber   // a number word
	clTouch    // may touch a number without changing it: 14:32scaled
	clVague    // about, under: beside a value it makes it unsure
	clRef      // vs, than: a time after it is another day's
	clClock    // at, by, until, from: a time after it is a time of day
	clStop     // stopped, quit
	clLeft     // left, short: what was missing
	clDay      // a day of the week, yesterday, today, tomorrow
	clJoin     // and, but, also, then, with
	clThanks   // words that end a message and say nothing of a result
	clFiller   // between a label and its value: was, in, took
	clFix      // fix, oops: a correction follows
	clNegation // no, not, never
	clBody     // a part of the body
	clJoint    // a joint, or a place where soreness is not from work
	clPain     // hurts by itself
	clStrain   // tweaked, pulled: hurts with a part of the body
	clGear     // furniture and kit that can give way
	clMonth    // a month
	clCareWord // a word of a mention, wherever it stands in it
	clCare     // a mention that care is due for may be found by it
	clLiking   // words of liking after N/10
	clHint     // knees, chair: ways that may be easier
	clSource   // from, since: what comes after is told as the reason
)

const clDuration = clHour | clMinute | clSecond

// classOf returns what the word, in lower case, can be.
func classOf(word string) class {
	if c, ok := lexicon[word]; ok {
		return c
	}
	n := len(word)
	if n > 3 && word[n-2:] == "'s" {
		return lexicon[word[:n-2]] & (clDay | clBody | clJoint)
	}
	if n > 6 && word[n-4:] == "days" {
		return lexicon[word[:n-1]] & clDay // mondays, without its apostrophe
	}
	return 0
}

// lexicon is read only.
var lexicon = buildLexicon(map[class]string{
	clHour:              "h hr hrs hour hours",
	clMinute:            "min mins minute minutes",
	clMinute | clMetre:  "m",
	clSecond:            "s sec secs second seconds",
	clKilo:              "kg kgs kilo kilos kilogram kilograms kilogramme kilogrammes",
	clPound:             "lb lbs pound pounds",
	clMetre:             "metre metres meter meters mtr mtrs",
	clKilometre:         "km kms kilometre kilometres kilometer kilometers k",
	clMile:              "mi mile miles",
	clYard:              "yd yds yard yards",
	clReps:              "rep reps repetition repetitions",
	clRounds:            "round rounds rd rds rnd rnds r",
	clSets:              "set sets",
	clCalories:          "cal cals calorie calories",
	clNumber:            "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety",
	clTouch:             "sc scl scaled scale rx rxd rx'd aw as easier mod modified cap capped time done dnf rpe effort x and for total not full didn't didnt no plus in ish for ok",
	clVague:             "between about roughly under over almost around approx approximately circa ca nearly maybe perhaps probably possibly",
	clRef:               "vs versus than faster slower by incl including",
	clClock:             "at by until till from",
	clStop:              "stopped quit skipped",
	clLeft:              "left short remaining",
	clDay:               "yesterday yday yest today tomorrow tonight mon monday tue tues tuesday wed weds wednesday thu thur thurs thursday fri friday sat saturday sun sunday",
	clJoin:              "and but also then with w",
	clThanks:            "thanks thank thx ta cheers tks ty please pls",
	clFiller:            "was in took is to got time score result of were max best",
	clFix:               "fix correct correction meant oops sorry whoops",
	clNegation:          "no not never without nothing none zero cannot cant can't dont don't doesnt doesn't didnt didn't isnt isn't wasnt wasn't havent haven't hasnt hasn't wont won't hadnt hadn't arent aren't weren't werent couldn't couldnt wouldn't wouldnt nor",
	clBody | clJoint:    "knee knees shoulder shoulders wrist wrists ankle ankles elbow elbows hip hips neck back spine achilles joint joints tendon tendons groin rib ribs heel heels kneecap sacrum tailbone collarbone jaw toe toes finger fingers thumb thumbs",
	clBody:              "hamstring hamstrings hammy hammies calf calves quad quads shin shins foot feet hand hands leg legs arm arms forearm forearms glute glutes bicep biceps tricep triceps pec pecs lat lats trap traps muscle muscles stomach abs ab belly tummy head chest oblique obliques thigh thighs adductor bum side body heart tooth eye ear nerve disc",
	clPain:              "hurt hurts hurting pain pains painful pained twinge twinges twinged injured injury injure ache aches aching achy sprain sprained agony stabbing",
	clStrain:            "tweak tweaked tweaking tweaks strained strain straining popped pulled pinched pop",
	clLiking:            "would recommend love loved fun best great awesome amazing brilliant enjoyed enjoyable session workout again lovely perfect good nice happy mood vibes coach marks",
	clGear:              "chair chairs table desk bench box stool sofa bed step steps stair stairs door doors doorway doorframe frame bar bars band bands strap straps rope towel handle handles hook anchor backpack rucksack pack bag rings ring wall shelf ledge counter railing rail mat trx suspension",
	clHint:              "knees chair incline lighter fewer",
	clSource:            "from since after before like than until till next every each for you ya back see same as last",
	clThanks | clFiller: "coach",
})

func buildLexicon(words map[class]string) map[string]class {
	out := map[string]class{}
	for c, list := range words {
		for _, w := range strings.Fields(list) {
			out[w] |= c
		}
	}
	for w := range months {
		out[w] |= clMonth
	}
	for w, lines := range carePhrases {
		out[w] |= clCare
		for _, p := range lines {
			for i := range p.elems {
				for _, w := range p.elems[i].words {
					out[w] |= clCareWord
				}
			}
		}
	}
	return out
}

func (t *token) is(c class) bool { return t.class&c != 0 }
