package reply

// Rule is the short name of a rule that made or shaped a reading. Names are stable: `tallybell read --why` prints them.
type Rule string

// The rules, in the order in which a reply meets them. Rules tells what each does.
const (
	rulePlain     Rule = "made plain"
	ruleWarning   Rule = "warning sign"
	ruleWorry     Rule = "pain or incident"
	ruleDenied    Rule = "denied sign"
	ruleCommand   Rule = "command"
	ruleNumbering Rule = "numbered list"

	ruleQuestion    Rule = "question"
	ruleLabel       Rule = "label"
	ruleLabels      Rule = "list of labels"
	ruleLabelBehind Rule = "label behind its value"
	ruleLabelWithin Rule = "label inside the sentence"
	ruleArticle     Rule = "a before a lone time"
	ruleByKind      Rule = "the one part that holds such a value"

	ruleDay       Rule = "day"
	ruleDayRules  Rule = "day rules what follows"
	ruleFix       Rule = "correction"
	ruleVersion   Rule = "version word"
	ruleUnsettled Rule = "version unsettled"
	ruleEffort    Rule = "effort"
	ruleClock     Rule = "talk: time of day"
	ruleReference Rule = "talk: another time to compare with"
	ruleOther     Rule = "talk: figure of something else"
	ruleAside     Rule = "talk: figure beside a result"
	ruleSaying    Rule = "talk: number in a saying"
	ruleBeside    Rule = "talk: bare number beside words"

	ruleColon      Rule = "form: colon"
	rulePoint      Rule = "form: minutes and seconds with a point"
	ruleMarks      Rule = "form: minute and second marks"
	ruleWithUnit   Rule = "form: number with a unit"
	ruleSpelled    Rule = "form: number words"
	ruleBare       Rule = "form: bare number"
	ruleOutOfTwo   Rule = "form: two counts with a slash"
	ruleUnreadable Rule = "form: cannot be taken as typed"

	ruleDone         Rule = "done"
	ruleNoScore      Rule = "done, no score"
	ruleSets         Rule = "sets and loads"
	ruleTime         Rule = "time"
	ruleLaps         Rule = "laps"
	ruleRunning      Rule = "running times"
	ruleTotalLaps    Rule = "total settles laps"
	ruleTotalRuns    Rule = "total settles running times"
	ruleCap          Rule = "cap word"
	ruleCapNamed     Rule = "cap word with movements named"
	ruleHowFarBehind Rule = "cap word, how far behind it"
	ruleLeft         Rule = "left"
	ruleRounds       Rule = "rounds and reps"
	ruleCounts       Rule = "counts"
	ruleReps         Rule = "reps of one set"
	ruleLoad         Rule = "load"
	ruleHold         Rule = "hold"
	ruleDistance     Rule = "distance"
	ruleInsisted     Rule = "insisted"
	ruleLoneVersion  Rule = "version alone"
	ruleScrap        Rule = "scrap"

	ruleAskPart       Rule = "asks part"
	ruleAskMixed      Rule = "asks part: values first, a label last"
	ruleAskValue      Rule = "asks value"
	ruleAskDone       Rule = "asks value: done on a scored part"
	ruleAskVague      Rule = "asks value: vague word"
	ruleAskFinishedAt Rule = "asks value: finished at"
	ruleAskBad        Rule = "asks value: a time that is none"
	ruleAskSixty      Rule = "asks value: seconds of 60 and over"
	ruleAskBareTime   Rule = "asks value: bare number on a time"
	ruleAskPoint      Rule = "asks value: point or comma in a time"
	ruleAskSides      Rule = "asks value: one side or both"
	ruleAskEach       Rule = "asks value: one count for each"
	ruleAskIntoRound  Rule = "asks value: part of a round in words"
	ruleAskListed     Rule = "asks value: several figures before one unit"
	ruleAskRange      Rule = "asks value: range"
	ruleAskBesideTime Rule = "asks value: another figure beside a time"
	ruleAskNoTime     Rule = "asks value: progress without a cap word"
	ruleAskNowhere    Rule = "asks value: no part holds it"
	ruleAskTwice      Rule = "asks value: one part twice"
	ruleAskTotal      Rule = "asks total"
	ruleAskSplits     Rule = "asks splits: laps or running times"
	ruleAskSplitCount Rule = "asks splits: wrong number"
	ruleAskNoSplits   Rule = "asks splits: neither holds"
	ruleAskProgress   Rule = "asks progress"
	ruleAskStopped    Rule = "asks progress: stop word"
	ruleAskNotAll     Rule = "asks progress: not all rounds"
	ruleAskHowFar     Rule = "asks progress: no word of how far"
	ruleAskFull       Rule = "asks progress: as many as there are, or more"
	ruleAskMissing    Rule = "asks progress: what was left cannot be"
	ruleAskCapTime    Rule = "asks progress: a time that is not the cap"
	ruleAskAtCap      Rule = "asks cap: a time at the cap"
	ruleAskOverCap    Rule = "asks cap: a time over the cap"
	ruleAskPlausible  Rule = "asks plausible"
	ruleAskUnit       Rule = "asks unit"
	ruleAskDay        Rule = "asks day"
	ruleAskFuture     Rule = "asks value: no such day yet"

	ruleVersionEnd    Rule = "version at the end"
	ruleVersionStart  Rule = "version at the start"
	ruleEased         Rule = "eased part"
	ruleEasierNamed   Rule = "easier movement named"
	ruleUsual         Rule = "usual version"
	ruleVersionKept   Rule = "version kept"
	ruleAskEased      Rule = "asks version: eased, yet as written"
	ruleAskNamed      Rule = "asks version: easier movement, yet as written"
	ruleAskLeftOut    Rule = "asks version: a movement left out"
	ruleAskWay        Rule = "asks version: a way that no line has"
	ruleAskUnsettled  Rule = "asks version: unsettled"
	ruleAskVersion    Rule = "asks version: not told"
	ruleAskEffort     Rule = "asks effort"
	ruleSessionEffort Rule = "effort of the session"
	ruleEffortBehind  Rule = "effort behind its clause"
	ruleReplaced      Rule = "correction replaces"
	ruleMerged        Rule = "added to the one before"
	ruleTotalAgrees   Rule = "total behind agrees"
	ruleTalk          Rule = "talk"
	ruleNote          Rule = "note"
)

// Rules tells in one line what each rule does, in the order of the names above.
func Rules() []RuleText {
	return []RuleText{
		{rulePlain, "Fractions, quotes, primes, dashes, digits of other scripts and invisible characters are made plain first."},
		{ruleWarning, "A warning sign makes the care stop."},
		{ruleWorry, "Pain, an incident or a change of health makes the care check."},
		{ruleDenied, "A negation within three words lowers a mention by one degree."},
		{ruleCommand, "The whole reply is a command."},
		{ruleNumbering, "Numbers that count up before part letters are a list's, and dropped."},

		{ruleQuestion, "A question mark, or words that ask plainly, rule their sentence: nothing in it is read."},
		{ruleLabel, "A part's letter stands where a label may, and a value, done, a word of being unfinished or a separator follows."},
		{ruleLabels, "Several letters in a row share what follows."},
		{ruleLabelBehind, "The letter stands behind its value, with for or at the end."},
		{ruleLabelWithin, "The only letter named in the same stretch as a value, amid other words, is the value's."},
		{ruleArticle, "A lone time behind an unscored A goes by its kind: the a is an article."},
		{ruleByKind, "A value without a label goes to the one scored part whose kind can hold it."},

		{ruleDay, "A day at the start of a clause, after its label or as its last word is the day of the result."},
		{ruleDayRules, "A day before a colon or alone rules what follows."},
		{ruleFix, "Words of mending, an asterisk or not with the old value make it a correction."},
		{ruleVersion, "A word of a version rules its clause."},
		{ruleUnsettled, "Two versions in one clause, or a word beside the version, leave it open."},
		{ruleEffort, "rpe, @ or out of ten is the effort of its clause."},
		{ruleClock, "A time after at, by, until or from is a time of day."},
		{ruleReference, "A second time after vs, than, last time and the like is another day's."},
		{ruleOther, "Figures of sleep, rest, age, weight and the like are no result."},
		{ruleAside, "A pace, a date, kit, another person's figure or an earlier best is told beside a result and is none."},
		{ruleSaying, "A lone number word amid words is a saying."},
		{ruleBeside, "A bare number beside words is talk."},

		{ruleColon, "14:32, 1:02:15."},
		{rulePoint, "14.32 on a part for time, two digits below 60."},
		{ruleMarks, "14'32\"."},
		{ruleWithUnit, "14m32s, 95 seconds, 12 reps, 5 rounds, 42.5 kg, 2.4 km."},
		{ruleSpelled, "English number words."},
		{ruleBare, "A number with nothing of its own."},
		{ruleOutOfTwo, "8/10 where the part has two counts, or sets."},
		{ruleUnreadable, "A figure that has the shape of a value and cannot be one."},

		{ruleDone, "done, a tick or did logs presence, for every unscored part where none is named."},
		{ruleNoScore, "no score, no watch or lost count logs done on a scored part."},
		{ruleSets, "Reps and loads on sets, quality and every are kept beside done."},
		{ruleTime, "One time on a part for time is the finished time."},
		{ruleLaps, "As many times as rounds, whose sum alone keeps the cap: laps."},
		{ruleRunning, "As many rising times as rounds, in like steps, whose last alone keeps the cap: running times."},
		{ruleTotalLaps, "The total that was given is the sum of the times."},
		{ruleTotalRuns, "The total that was given is the last of the times."},
		{ruleCap, "A word of being out of time, with how far: rounds and reps, or reps."},
		{ruleCapNamed, "The same, where movements are named in order from the first."},
		{ruleHowFarBehind, "A clause that only says out of time, and how far in the next: D didn't finish. 2+14."},
		{ruleLeft, "What was left, short, to go, remaining or behind cap + is taken from the total."},
		{ruleRounds, "Rounds and reps, or reps, of an AMRAP."},
		{ruleCounts, "One count a station and time through, or the total alone."},
		{ruleReps, "The reps of the one set."},
		{ruleLoad, "A load; a bare number is in the member's units."},
		{ruleHold, "A held time."},
		{ruleDistance, "A distance with its unit."},
		{ruleInsisted, "What seemed a slip is taken because the member said yes."},
		{ruleLoneVersion, "A version with nothing else to log corrects the last result's."},
		{ruleScrap, "scrap, delete or remove names the part."},

		{ruleAskPart, "Several parts can hold the value."},
		{ruleAskMixed, "A list that starts with a value and ends with a label does not tell which is whose."},
		{ruleAskValue, "The part cannot hold what was typed, or it can be read in several ways."},
		{ruleAskDone, "done alone is no score of a scored part."},
		{ruleAskVague, "about, under, -ish and the like beside a value leave it open."},
		{ruleAskFinishedAt, "finished at 14:32 may be a time of day."},
		{ruleAskBad, "A time whose figures cannot be one."},
		{ruleAskSixty, "14:75: seconds of 60 and over."},
		{ruleAskBareTime, "14, 1432 or 14 32 on a part for time."},
		{ruleAskPoint, "14.3, 14.325 or 14,32 on a part for time."},
		{ruleAskSides, "Counts a side, leg or arm: of one, or of both together?"},
		{ruleAskEach, "One count each, a station or a minute is no total."},
		{ruleAskIntoRound, "How far into a round is told without a count, or apart from the rounds."},
		{ruleAskListed, "Figures before a load or a distance may share its unit: 40, 50, 60 kg, 6 x 400 m."},
		{ruleAskRange, "From one time to another."},
		{ruleAskBesideTime, "Another figure stands so close to a time that it may be part of it."},
		{ruleAskNoTime, "Rounds or reps on a part for time, without a word of being out of time."},
		{ruleAskNowhere, "No scored part of the session can hold the value."},
		{ruleAskTwice, "The same part twice in one reply, and the later is no correction."},
		{ruleAskTotal, "The total that was given agrees with no reading."},
		{ruleAskSplits, "Both laps and running times keep the cap."},
		{ruleAskSplitCount, "Not as many times as rounds."},
		{ruleAskNoSplits, "Neither laps nor running times keep the cap."},
		{ruleAskProgress, "How far it came cannot be read from the figures."},
		{ruleAskStopped, "stopped, quit, gave up, only or skipped with a value on a part for time."},
		{ruleAskNotAll, "A time beside fewer rounds than there are."},
		{ruleAskHowFar, "Out of time, and no word or only a bare number of how far."},
		{ruleAskFull, "Out of time, yet with all the reps, or an extra of a full round."},
		{ruleAskMissing, "What was left is nothing, more than there is, or told in two ways."},
		{ruleAskCapTime, "Out of time, yet with a time that is not the cap."},
		{ruleAskAtCap, "A time equal to the cap: finished, or out of time?"},
		{ruleAskOverCap, "A time above the cap."},
		{ruleAskPlausible, "Faster, heavier, longer or farther than is likely."},
		{ruleAskUnit, "A distance without a unit."},
		{ruleAskDay, "A day word that leaves open which day the value is for."},
		{ruleAskFuture, "A day that is still to come, or none."},

		{ruleVersionEnd, "A version once at the end of the reply rules every clause without its own."},
		{ruleVersionStart, "A version alone in the first clause rules every clause without its own."},
		{ruleEased, "A part that was sent eased is scaled."},
		{ruleEasierNamed, "A movement of the part's easier lines makes it scaled."},
		{ruleUsual, "Nothing told: the member's usual version."},
		{ruleVersionKept, "A correction without a version keeps the earlier result's."},
		{ruleAskEased, "As written typed on a part that was sent eased."},
		{ruleAskNamed, "As written typed beside a movement of an easier line."},
		{ruleAskLeftOut, "A movement of the part was left out."},
		{ruleAskWay, "knees, chair, incline, lighter, no pack or fewer, and no easier line of that kind."},
		{ruleAskUnsettled, "The version was left open."},
		{ruleAskVersion, "No version told, and no usual one."},
		{ruleAskEffort, "Below 1, above 10, or not a half."},
		{ruleSessionEffort, "An effort alone on its line is the whole session's."},
		{ruleEffortBehind, "An effort alone in a clause is that of the result beside it on the line."},
		{ruleReplaced, "A later correction of the same part takes the place of what came before it."},
		{ruleMerged, "Sets, or a version alone, are added to the result of the same part before them."},
		{ruleTotalAgrees, "A total alone in the next clause agrees with the counts before it."},
		{ruleTalk, "Nothing to log, ask or command: the text is the note."},
		{ruleNote, "What no rule read is left for the coach."},
	}
}

// RuleText is a rule and what it does, in one line.
type RuleText struct {
	Name Rule
	Does string
}
