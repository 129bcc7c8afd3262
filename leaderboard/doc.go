// Package leaderboard is what came back: the order of results, divisions, boards, the ledger, and standings over
// several days.
//
// Everything that orders is a pure function over values. A result becomes one exact integer (Score), lower is
// better everywhere, and a board is a sorted set of such integers; Change says which places a change of a result
// takes away and gives. Boards reads them through the store, and Rebuild sets them right from the ledgers.
package leaderboard
