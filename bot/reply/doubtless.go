package reply

// settled are lines that are looked for first: words that look like a mention and are none, and the few mentions that
// those would hide.
var settled = []careLines{
	{mention{2, MatterWarning}, `
	breathless|breath ~6, talk|speak|sentence|sentences
`},
	{mention{1, MatterWarning}, `
	breathless|breath ~6, resting|sitting|lying|nothing|constantly
	can't|cant|cannot|couldn't|couldnt !breathe through nose
	knocked|knock|knocking it|this|that head
`},
	{mention{0, ""}, `
	out of !breath
	hold|holding|held|control|controlling|match|remember|remembering|time|sync !breath|breathing|breathe
	not !well rested|slept|done|played|timed|planned
	breath|breathe|breathing pattern|patterns|rhythm|drill|drills|cue|cues|technique|exercise|exercises|cadence
	medicine ball|balls
	pain|hurt|hurts|ache|aches|sore|soreness|twinge cave|free
	pain in arse|ass|backside
	pain to
	pain au
	bit|such !pain setting|getting|finding|moving
	hurt|hurts|hurting pride|feelings|feeling|ego|soul|wallet
	hurt|hurts|aches|ache good
	mind|brain !numbing|numb
	faint hope|idea|line|praise|memory|hearted|@pain|niggle|soreness|click
	jaw dropping|dropped
	head start|first|down|up|phones|stand|band|game|space|coach
	nail !head
	chest day|press|presses|fly|flies|flyes|workout|exercises|height|supported|strap
	speak highly|soon|later|tomorrow
	talk soon|later|tomorrow|about|now|today|right
	photo|video|pic|picture|screen|camera !blurry|blurred
	blurry|blurred photo|video|pic|picture|screen|camera
	a !wee
	wee bit|one|rest|walk|break|while
	fell|fallen asleep|behind|short|apart|below|ill|flat|under
	fell|fallen love|pace
	fell|fallen|slipped to @number
	landed on @number
	tipped over|past|into @number
	pace|reps|speed|form|score|time|rate|motivation|count|technique|numbers|rhythm|standards|energy|focus|tempo !fell|slipped|collapsed|crashed|slipping
	slipped mind|away|by
	slipped in|into another|some|extra|quick|set
	tripped fuse|breaker|alarm|switch
	snapped photo|pic|picture|selfie|shot|photos|pics|at|out|back
	broke|broken|breaking record|pb|pr|sweat|even|sets|reps|duck|routine
	popped to|in|round|by|home|out|over|on|off|up shop|shops|milk|bread|loo|coffee|work|store|gym|here|see|say|coffees|minute|break
	popped to
	pulled off|through|together|pb|pr|ahead|apart|it|this|that
	snapped pb
	sick session|workout|pump|track|tune|leave|day|wod|burn|beat|of|kid|kids|child|son|daughter|dog|cat|note
	that's|thats|such|absolutely !sick
	that|this|it|workout|session|wod was !sick
	hospital shift|radio|corridor|job
	isometric|eccentric|concentric|muscle !contractions
	fever pitch
	baby steps|step|asleep|sitting|sleeping|woke|crying|cried|monitor|slept|weight|weights|in|with
	sharp turn|turns|start|corner
	stiff competition|drink
	caught up|breath
	cut corners|short|down|out|off
	@joint !went up|down|through|past|over|well|fine|ok|forward
`}}
