package bot

import (
	"context"
	"sync"

	"tallybell/bot/roster"
	"tallybell/leaderboard"
)

// textBest is said behind a result; plainly, since the next one may well be slower.
const textBest = "Your best of this piece."

// textAllResults is said behind a member's results of the last days.
const textAllResults = "All of them, with what came again: %s"

// maxMarks bounds the marks that are kept in memory, over all members.
const maxMarks = 500_000

// marks keeps what members did of each piece, so that an answer need not read a whole ledger. What is kept for a member
// holds at the number of the last change that concerns them, and for no other.
type marks struct {
	mu   sync.Mutex
	of   map[string]*kept
	size int
}

type kept struct {
	top   int64
	marks leaderboard.Marks
}

// bests marks the logged lines that are the member's best of their piece. Nothing is said beside pain, to who is held
// after a warning sign, or about an implausible value.
func (b *Bot) bests(ctx context.Context, st *state, out *outcome) error {
	if st.member.Role != roster.RoleMember || st.member.Held() || out.answer.Care != "" {
		return nil
	}
	k := 0
	for _, c := range out.changes {
		if c.new == nil {
			continue
		}
		line := &out.answer.Logged[k]
		k++
		if _, ranks := c.new.Score(); !ranks {
			continue
		}
		if err := b.readMarks(ctx, st); err != nil {
			return err
		}
		line.Best = b.marks.isBest(st.member.ID, *c.new)
	}
	return nil
}

// readMarks reads a member's ledger, unless what is kept holds at the state's number. Where the ledger has moved on the
// state is stale, and the decision is made again.
func (b *Bot) readMarks(ctx context.Context, st *state) error {
	if b.marks.holds(st.member.ID, st.top) {
		return nil
	}
	records, err := b.ownRecords(ctx, st.member.ID)
	if err != nil {
		return err
	}
	b.marks.put(st.member.ID, kept{st.top, leaderboard.MarksOf(records)})
	return nil
}

func (m *marks) holds(member string, top int64) bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	k := m.of[member]
	return k != nil && k.top == top
}

func (m *marks) put(member string, k kept) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.drop(member)
	for id := range m.of {
		if m.size+len(k.marks) <= maxMarks {
			break
		}
		m.drop(id)
	}
	if m.of == nil {
		m.of = map[string]*kept{}
	}
	m.of[member], m.size = &k, m.size+len(k.marks)
}

// drop needs the lock.
func (m *marks) drop(member string) {
	if k := m.of[member]; k != nil {
		m.size -= len(k.marks)
		delete(m.of, member)
	}
}

func (m *marks) isBest(member string, r leaderboard.Record) bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	k := m.of[member]
	return k != nil && k.marks.IsBest(r)
}

// moved carries what is kept of a member over a message that was written.
func (m *marks) moved(member string, from, to int64, changes []change) {
	m.mu.Lock()
	defer m.mu.Unlock()
	k := m.of[member]
	if k == nil || k.top != from {
		return
	}
	m.size -= len(k.marks)
	for _, c := range changes {
		k.marks.Move(c.old, c.new)
	}
	k.top, m.size = to, m.size+len(k.marks)
}

// forget drops what is kept of a member.
func (m *marks) forget(member string) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.drop(member)
}
