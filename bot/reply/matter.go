package reply

// Matter is what a mention that care is due for is about. The bot has a fixed sentence for each; none is a diagnosis.
type Matter string

// Matters.
const (
	MatterWarning   Matter = "warning"  // a warning sign; with CareCheck, one that was denied
	MatterIncident  Matter = "incident" // a fall, a knock, furniture or kit that gave way
	MatterPain      Matter = "pain"     // a joint or muscle beyond work
	MatterVomiting  Matter = "vomiting" // nausea too
	MatterUnwell    Matter = "unwell"
	MatterPregnancy Matter = "pregnancy" // and what is told of it
	MatterBirth     Matter = "birth"
	MatterOperation Matter = "operation"
	MatterFever     Matter = "fever"
	MatterInfection Matter = "infection"
	MatterMedicine  Matter = "medicine"
	MatterHealth    Matter = "health" // another condition that somebody treats
)

// mention is the level and the matter of a phrase: level 2 is stop, 1 is check, 0 takes words out of doubt.
type mention struct {
	level  int
	matter Matter
}
