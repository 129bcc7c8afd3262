package reply

// warnings are the signs at which training stops: chest pain or pressure, fainting, dizziness, numbness, trouble
// breathing and the rest of the list. They are what patient pages of hospitals agree on, in the words people type.
var warnings = []careLines{{mention{2, MatterWarning}, `
	chest|breastbone|sternum|ribcage|heart ~7, @pain|tight|tightness|tightening|tightened|tightens|pressure|heaviness|discomfort|uncomfortable|squeezing|squeezed|crushing|crushed|stabby|sharp|elephant|constricted|cramping|gripping
	chest|breastbone|sternum heavy
	heavy !chest|breastbone|sternum
	chest ~6, like ~6 weight|brick|vice|someone|something|stone
	chestpain|chestpains
	tight chested
	heart attack
	jaw ~4, @pain|sore|tight|tightness|numb|pressure
	arm ~5, @pain
	left !arm heavy|weird|weak|tight|funny|strange|odd
	@pain|tightness|pressure|shooting|radiating into|down|along|up|through !arm|arms|jaw

	fainted|fainting|faints|fainty|faint|swooned|unconscious|blackout|blackouts|syncope
	passed|pass|passing|passes out
	blacked|black|blacking|greyed|grayed|whited out
	everything|vision|all|it went|goes|going|turned !black|dark|white|grey|gray
	lost|losing|lose|loss consciousness
	keeled over
	got|was|been !knocked out

	dizzy|dizziness|dizzyness|dizzily|dizy|dizzier|giddy|giddiness|woozy|wooziness|vertigo|lightheaded|lightheadedness
	light headed|headedness|head
	head|room|world|everything ~3, spinning|spins|spun|swimming|swimmy
	head rush|rushes

	numb|numbness|numbed
	tingling|tingly|tingle|tingles|tingled
	pins needles
	lost|losing|no|loss|not !feeling|sensation finger|fingers|hand|hands|foot|feet|toes|face|thumb|thumbs|fingertips|side|arm|arms|leg|legs
	can't|cant|cannot|couldn't|couldnt|not !feel finger|fingers|hand|hands|foot|feet|toes|face|thumb|thumbs|fingertips|side

	can't|cant|cannot|couldn't|couldnt|unable|trouble|difficulty|difficulties|struggling|struggled|struggle|problem|problems|impossible|hard|difficult|fighting|fight !breathe|breath|breathing|breaths|brethe|inhale
	can|could not !breathe|breath|inhale
	barely|hardly !breathe|breathing
	can't|cant|cannot|couldn't|couldnt|not|barely|unable|hard|trouble|difficulty|struggling|struggled|struggle|difficult|problems catch|catching|get|getting|take|taking|draw !breath|breaths|air|oxygen
	can't|cant|cannot|couldn't|couldnt|not|barely|struggling|struggled catch|get|getting enough|any !breath|air|oxygen
	not|no enough !air|oxygen
	gasping !air|breath
	short|shortness !breath
	breathing difficulty|difficulties|trouble|troubles|problem|problems|issue|issues|difficult|laboured|labored|impossible|hard work
	breathlessness|wheezing|wheezy|wheeze|wheezed|hyperventilating|hyperventilated
	asthma attack
	can't|cant|cannot|couldn't|couldnt|barely|hardly|unable|trouble|difficulty|hard|struggling|struggled|struggle|difficult !speak|speaking|talk|talking
	can|could not !speak|talk
	slurred|slurring|slur|slurry|slurs
	can't|cant|cannot|couldn't|couldnt|barely|hardly|unable|trouble|difficulty|struggling|struggled|struggle|hard !see|seeing properly|straight|clearly|right|anything|much|out|well|eye|eyes
	trouble|difficulty !seeing
	vision|eyesight ~4, blurred|blurry|blurring|double|tunnel|lost|gone|went|goes|spots|loss|black|fuzzy|funny|weird|disturbed|problems|trouble
	eyes|eye ~4, blurred|blurry|spots|stars|flashes
	seeing|saw|see|seen stars|spots|double|flashes
	blurry
	weakness|weak ~3, sudden|suddenly
	weak|weakness|droopy|drooping|drooped|droops ~5, face|mouth|smile|lip|eyelid

	cold|clammy !sweat|sweats|sweating|sweaty
	sweating|sweaty|sweat cold|clammy

	heart|heartbeat|heartrate|pulse ~4, irregular|irregularly|uneven|unevenly|fluttering|flutter|flutters|fluttered|erratic|erratically
	heart|heartbeat|pulse skipping|skipped|skips|skip|missed|missing
	heart|heartbeat|pulse out rhythm
	heart|pulse|heartbeat|heartrate|hr ~4, racing|pounding|races|raced|thumping|hammering ~10 still|stays|stayed|won't|wont|wouldn't|wouldnt|keeps|kept|hours|hour|later|constantly
	heart|pulse|heartbeat|heartrate|hr ~4, racing|pounding|races|thumping|hammering at|while rest|resting|sitting|lying
	racing|pounding at !rest
	heart|pulse|heartbeat|heartrate|hr ~5, won't|wont|wouldn't|wouldnt|didn't|didnt|doesn't|doesnt|not ~8, settle|slow|calm|drop|down
	palpitations|palpitation|arrhythmia|arrythmia|fibrillation|afib

	headache|headaches|migraine ~3, severe|worst|splitting|thunderclap|blinding|terrible|awful|sudden|suddenly|massive|crushing|horrible|horrendous|horrific|excruciating|intense|extreme|unbearable
	head ache|aches|pain ~5, severe|worst|splitting|blinding|terrible|awful|sudden|massive|crushing
	hit|hits|hitting|banged|bang|banging|knocked|knock|bumped|bump|smacked|bashed|cracked|whacked|clonked|bonked|clocked|thumped|blow|landed|kicked|injured|struck ~4, head|skull|forehead
	head|skull|forehead injury|trauma|knock
	concussion|concussed

	calf|calves ~4, hot|swollen|swelling|swelled|red
	leg ~4, hot|red ~6 swollen|swelling|swelled
	urine|pee|peeing|peed|wee|piss|pissing ~6, brown|dark|cola|coca|coke|red|rusty|blood|bloody|black
	urine|pee|peeing|peed|wee|piss ~6, like|colour|color|coloured|colored ~6, tea|coffee|cola|coke
	rhabdo|rhabdomyolysis
	straighten|unbend|extend|straightened ~8 swollen|swelling|swelled

	bleed|bleeding|bled|blood|spotting|contraction|contractions|leaking|leaked|fluid|gush|cramps|cramping @pregnant
	waters broke|broken|break|breaking|gone|leaking
	water broke
	seizure|seizures
`}}
