package store

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"github.com/redis/go-redis/v9"
)

// ClubIDs lists the clubs of the store, in order.
func (s *Store) ClubIDs(ctx context.Context) ([]string, error) {
	var ids []string
	if s.local != nil {
		for _, key := range s.local.Keys() {
			if id, ok := clubOfKey(key); ok {
				ids = append(ids, id)
			}
		}
		return ids, nil
	}
	var mu sync.Mutex
	scan := func(ctx context.Context, node *redis.Client) error {
		keys := node.Scan(ctx, 0, "{*}:club", 1000).Iterator()
		for keys.Next(ctx) {
			if id, ok := clubOfKey(keys.Val()); ok {
				mu.Lock()
				ids = append(ids, id)
				mu.Unlock()
			}
		}
		return keys.Err()
	}
	var err error
	switch r := s.client.(type) {
	case *redis.Client:
		err = scan(ctx, r)
	case *redis.ClusterClient:
		err = r.ForEachMaster(ctx, scan)
	}
	if err != nil {
		return nil, fmt.Errorf("store: listing clubs: %w", err)
	}
	slices.Sort(ids)
	return slices.Compact(ids), nil
}
