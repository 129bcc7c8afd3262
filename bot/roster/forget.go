package roster

import "context"

// Forgotten reads a person anew whom the store has forgotten, so that this process knows them no more. Other replicas
// find out with their next Refresh.
func (r *Roster) Forgotten(ctx context.Context, id string) error { return r.reread(ctx, id) }
