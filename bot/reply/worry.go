package reply

// worries are what asks for a check: pain, mishaps, sickness, a change of health, and words that are near to a sign.
var worries = []careLines{
	{mention{1, MatterPain}, `
	hurt|hurts|hurting|hurted|pain|pains|painful|pained|twinge|twinges|twinged|injured|injury|injuries|injure|injuring|ache|aches|aching|achy|ached|sprain|sprained|agony|stabbing|throbbing|sciatica
	tendonitis|tendinitis|tendinopathy|bursitis|arthritis|hernia|impingement|inflamed|inflammation|fracture|fractured|dislocated|fasciitis|splints|spasm|spasms|spasmed|spasming|whiplash
	swollen|swelling|swelled|swells|cramp|cramps|cramped|cramping|niggle|niggly|niggling|niggles|niggled
	sore|soreness|stiff|stiffness|tender ~5, @joint
	bruised|bruise|bruising|sharp|dodgy|irritated|aggravated|throb|throbs|pinching|pinchy ~5, @body
	click|clicks|clicking|clicky|clicked|crunching|crunchy|grinding ~5, @joint
	flare|flared|flares|flaring up
	killing me ~5, @joint
	@joint playing|acting !up
	@joint !feels|felt|feel|is|was|are|feeling|seems off|funny|weird|odd|strange|wrong|unhappy|angry|grumpy|cranky|unstable|wobbly|bad|terrible|awful|grumbly|grumbling|complaining|moaning|gone
	@joint !isn't|isnt|not|doesn't|doesnt|aren't right|happy|great|good|like|love
	@joint !buckled|buckling|locked|locking|seized|gave|giving|crunched|cracked|popped|popping|catching|spasmed
	@joint|hamstring|calf|quad !went
	bad|bum|gammy|iffy knee|knees|shoulder|shoulders|wrist|wrists|ankle|ankles|elbow|elbows|hip|hips|back|neck
	@joint !trouble|troubles|issue|issues|problem|problems
	@joint !bothering|bugging|nagging|troubling
	put|threw|thrown|did|done my|lower !back|shoulder|neck|hip out|in
	tweak|tweaked|tweaking|tweaks|strained|strain|straining|popped|pop|pulled|pulling|pinched|tore|torn|tearing|ripped|wrenched|ricked|jarred|overstretched|hyperextended|overextended|snapped ~5, @body
	tweaked|strained|popped|pulled|pinched|tore|torn|ripped|snapped|twinged something
	something !popped|pulled|tweaked|strained|snapped|clicked|twinged|tore|crunched|cracked|gave|pop|ping|pinged
	!something feels|felt|is|isn't|isnt|not wrong|off|right|funny
	felt|feel|feeling|heard !tweak|pop|snap|click|crack|crunch|strain|pinch|twang|pull|ping|tear|stab
	rolled|rolling|turned ankle|ankles
	twisted|twisting|twist knee|knees|ankle|ankles|back|wrist|wrists|neck
	crick neck
	slipped disc
	can't|cant|cannot|couldn't|couldnt !straighten|bend|move @body
	head is|was|still !pounding|exploding|thumping|banging
	headache|headaches|migraine|migraines
`},
	{mention{1, MatterWarning}, `
	chest ~5, burning|burn|burns|weird|funny|odd|strange|sore|soreness
	heart|pulse|heartbeat|hr ~4, racing|pounding|races|raced|thumping|hammering|weird|funny|odd|strange|jumping
	funny|odd turn
	breathless|winded
	breathing ~3, weird|funny|odd|strange|off|shallow|tight|rough
	@body fell|gone|went|goes !asleep|dead|sleep
	can't|cant|cannot|couldn't|couldnt !feel @body
	left|right|one !side weak|weakness|heavy|limp
	clammy|shivering|contractions
	clot|clots|dvt
	urine|pee ~4, funny|weird|colour|color
	coughing|coughed|spitting|spat|vomiting !blood
	allergic reaction
	panic attack
`},
	{mention{1, MatterIncident}, `
	fell|fallen|tripped|toppled|faceplanted|faceplant|slipped|tipped|collapsed
	had|took|nasty !fall|tumble|spill
	nearly|almost !fall|slip|trip
	lost|losing !balance|footing
	fell|went !flying|backwards
	crashed into|onto|down
	snapped
	landed on|badly|awkwardly|wrong|funny
	dropped ~7 foot|feet|toe|toes|head|hand|fingers|me|shin
	@gear !broke|broken|breaks|cracked|ripped|tore|slid|moved|shifted|gave|failed|buckled|wobbled|cracking
	@gear !came|comes|coming loose|off|down|away|apart|open|undone
	door|doors opened|flew|swung|slammed|burst|moved|shifted
	anchor|hook|strap|rope|knot|screws|bolt ~3, out|off|loose|failed|broke|gave
	broke|ripped|tore|cracked ~3, @gear
	broke|broken @body
	gave|given|gives|giving way
	came|come|coming loose
	stubbed|stub @body
	banged|bashed|knocked|whacked|bumped|smacked|caught|clipped|scraped|grazed|skinned|cut|trapped|crushed|jammed|scalded|sliced|squashed|nipped @body
	burnt|burned hand|hands|finger|fingers|palm|palms
	hit me @body
	hit @body on|against
	bleeding|bleed|bled
	torn|ripped|tore skin|callus|calluses|callous|nail|palm|palms
`},
	{mention{1, MatterVomiting}, `
	vomit|vomited|vomiting|vomitted|puke|puked|puking|pukey|nausea|nauseous|nauseated|nauseus|queasy|spewed|spew|spewing|chundered|barfed|barf|retched|retching
	threw|throw|throwing|thrown up
	lost breakfast|lunch|dinner
	felt|feel|feeling|been|was|be|being|violently|nearly|almost|physically !sick
	sick everywhere|twice|bucket|toilet|sink
`},
	{mention{1, MatterPregnancy}, `
	pregnant|pregnancy|pregnent|preggers|preggo|trimester
	expecting baby|twins|child|our
	baby bump|due
	weeks along
	having !baby|twins
`},
	{mention{1, MatterBirth}, `
	gave|given|giving|after|since !birth
	had !baby|twins
	newborn|postpartum|postnatal|csection|caesarean|cesarean|caesarian
	post !partum|natal
	c section
	baby born|arrived
`},
	{mention{1, MatterOperation}, `
	operation|operated|surgery|surgeries|surgical|surgeon|stitches|keyhole|biopsy|postop
	post|had|have|having|after|since|an|my|before|@body !op
`},
	{mention{1, MatterFever}, `
	fever|feverish|fevers
	got|have|had|running|with|slight|raised|my !temperature|temp
	temperature|temp of @number
`},
	{mention{1, MatterInfection}, `
	infection|infected|infections|infectious|covid|coronavirus|flu|influenza|pneumonia|bronchitis|tonsillitis|sinusitis|norovirus|strep|shingles|abscess|sepsis|uti|virus
	stomach|tummy|sickness|nasty|caught !bug
	food poisoning
`},
	{mention{1, MatterMedicine}, `
	medicine|medicines|medication|medications|meds|medicated|tablets|pills|antibiotics|antibiotic|statins|statin|insulin|inhaler|painkiller|painkillers|ibuprofen|paracetamol|aspirin|codeine|cortisone|steroids|antidepressants|ventolin
	beta|alpha blocker|blockers
	blood thinner|thinners
	new tablet|pill|prescription
	doctor|doc|gp|consultant prescribed
	prescribed me
`},
	{mention{1, MatterUnwell}, `
	unwell
	not|don't|dont|didn't|didnt feel|feeling !well
	not !well
`},
	{mention{1, MatterHealth}, `
	diagnosed|diagnosis|diabetic|diabetes|epilepsy|epileptic|cardiac|cardiologist|ambulance|anaemic|anemic|chemo|chemotherapy|cancer|tumour|tumor|asthma|asthmatic
	had|having|mini !stroke
	blood|heart pressure|condition|murmur|problem|problems|failure
	doctor|doc|gp|physio|consultant|hospital|osteo|chiro ~4, said|told|says|tells|wants|thinks|advised|signed|saw|see|seeing|seen|appointment|referred|sent|visit|admitted|discharged|overnight
`},
}
