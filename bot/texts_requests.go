package bot

// The sentences about what members ask for. They are read aloud before they are accepted: calm, short, no blame.
const (
	// textHelp fits on a phone: at most 14 lines. The first sentence is fixed and may break; the others have at most 40
	// characters.
	textHelp = "Unwell? Stop and call your local emergency number.\n" +
		"Tell me what you did, in your words:\n" +
		"14:32 scaled · B 21/18/15/24\n" +
		"capped 2+14 · A done\n" +
		"Mend it: fix D 14:23, or scrap D\n" +
		"See: today, short, board, me, data\n" +
		"Fit: kit, level, limits\n" +
		"Change one: swap push-up\n" +
		"Off: away, pause, resume\n" +
		"Boards: hide me, show me, no ranks\n" +
		"Leave: stop, or forget me\n" +
		"All else goes to your coach."

	textHidden   = "You are off the boards. Your results still count for your coach. Reply: show me, to stand on them again."
	textShown    = "You stand on the boards from now on, with what you have logged. Reply: hide me, to leave them."
	textNoRanks  = "No ranks are told to you from now on. You still stand on the boards if you chose to. Reply: ranks, to hear them again."
	textRanks    = "Ranks are told to you again. Reply: no ranks, to leave them out."
	textNoScores = "No scores, then: reply done to any part, and being there is what counts. You are off the boards. " +
		"Reply: scores, or: show me, to change that."
	textScores = "Scores are welcome again. You are off the boards until you reply: show me."

	textAround      = "Around you:"
	textJoint       = ", %s in all"
	textJointOf     = ", %s of %d in all"
	textStandings   = "Standings, %s, %s: %s"
	textLeftOut     = ", the worst %d left out"
	textNoStandings = "Nobody stands on a board from %s to %s yet."

	textAway        = "Noted: you are excused today, and your coach can see it. Nothing to make up."
	textAwayUntil   = "Noted: you are excused, and your coach can see it. Sessions come again by themselves on %s. Reply: resume, to have them sooner."
	textPaused      = "Paused: no sessions come until you reply: resume."
	textPausedUntil = "Paused: sessions come again by themselves on %s. Reply: resume, to have them sooner."
	textResumed     = "Good to see you. Nothing to make up: start from today."
	textNextSession = "The next session comes at your send time."

	textStopAsk            = "Stop messages, or are you unwell?"
	textMisread            = "Good to hear. It is marked as misread, and your coach can see that."
	textMisreadOther       = "It is marked as misread, and your coach can see that."
	textMisreadOtherNotice = "That was misread, the member says. They had written:"
	textMisreadNotice      = "It was no pain, the member says. They had written:"
	textSettled            = "That question has its answer already. To change something, say it in words."
	textNothingChanged     = "Nothing is changed."

	textKitNotTold = "You have not told me your kit: sessions come as the coach wrote them."
	textKitNone    = "Your kit: none. Sessions come without any."
	textKitHow     = "To change it, reply: kit: backpack, towel (all that you have), kit: add towel, kit: no towel, or kit: none."

	textLevelHow = "To change it, reply: level easier, level harder or level as written; for one kind of movement: level push: easier; " +
		"for one movement of today: easier push-up."
	textLevelKinds = "Kinds: squat, split, hinge, bridge, push, overhead, row, pull, brace, trunk, carry, jump, small, mobility."

	textNoLimits      = "Your limits: none."
	textLimitsPrivate = "Your coach alone sees these."
	textLimitsAre     = "There are: no jumping, quiet, low ceiling, small floor, no overhead, no weight on wrists, no kneeling, no deep knee, " +
		"not on the back, not face down, no inversion, no max effort."
	textLimitsHow = "To change them, reply: limits: quiet, no jumping (all of them), limits: add quiet, limits: remove quiet, or limits: none."

	textNoShort      = "Your coach gave no short way for today. Any part counts: do what fits, and tell me which."
	textNoOtherWay   = "There is no other way to do %s here. Your coach can help."
	textNoStep       = "There is no %s way to do %s here. Your coach can help."
	textCoachCanHelp = "Your coach can help."
	textKeep         = "Reply: always, to keep it."
	textKeepShort    = "Keep it?"

	textDataWhere = "All of it, as a file: %s/api/me/data"
	textDataRest  = "Kept beside this: our conversation, every change of your results, and the keys by which your devices open this page. " +
		"Reply: forget me, to have all of it removed."

	textUnread = "There was nothing in that to log or to do. Reply: help, to see what I know."

	textForgetAsk = "This removes your profile, results, places on boards, notes and this conversation, for good. It cannot be undone. " +
		"Reply: forget me for good"
	textForgotten = "You are forgotten: profile, results, places on boards, notes and conversation are removed, and this page closes. " +
		"What remains: words that your coach typed, copies in the club's backups until they are replaced, and plain counts. All the best."

	// What the sentences of several requests are made of.
	textNotKept       = "That could not be kept: %s."
	textRefitted      = "%s has been fitted anew. Reply: today, to see it."
	textSessionOf     = "The session of %s"
	textTodays        = "Today's session"
	textNoPart        = "%s has no part %s."
	textNotScored     = "%s has no board: it is not scored."
	textEmptyBoard    = "Nobody stands on a board of %s yet."
	textUnknown       = "I do not know %q."
	textUnknownNear   = "I do not know %q. Near to it: %s."
	textDidYouMean    = "Did you mean:"
	textNew           = "New: "
	textTaken         = "Taken away: "
	textUnknownKind   = "I do not know the kind %q."
	textLevelNew      = "easier, until you have logged three sessions or choose"
	textLevelIs       = "Your level: "
	textKitIs         = "Your kit: "
	textLimitsTold    = "Your limits: "
	textNothingLogged = "Nothing of yours is logged in the last %d days."
	textShort         = "The short way: %s."
	textNotAWay       = "%s is not one of the ways to do %s here."
	textNoSuch        = "%s has no %q."
	textWhichMovement = "Which movement? %s has: %s. Reply, for example: swap %s"
	textItHas         = "It has: %s."
	textWhichOne      = "Which one?"
	textInstead       = "Instead of %s %s:"
	textOnDay         = "on %s"
	textToday         = "today"
	textFromNow       = "from now on"
	textAsTheCoach    = "%s: %s, as the coach wrote them."
	textChosen        = "%s, instead of %s: %s."
	textUndo          = "Reply: swap %s back, to undo it."
	textCountsWritten = "It counts as written."
	textCountsScaled  = "It counts as scaled in %s."
	textNotThere      = "In %s it does not fit, and nothing changes there."
	textNoChoice      = "There is no choice of yours for %s."
	textChoiceGone    = "Your choice is taken away. %s: %s."
	textEased         = "%s: you were sent %s, which counts as scaled. Which did you do?"
)
