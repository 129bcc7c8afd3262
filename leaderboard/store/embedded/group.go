package embedded

import (
	"fmt"
	"hash/crc32"
	"strconv"
)

// The log is a list of groups, each of them the effects of one pipeline:
//
//	MULTI
//	the commands
//	ECHO "tallybell-log FORMAT SEQUENCE CHECKSUM"
//	EXEC
//
// in plain RESP, so that a real Redis loads the file as it is. The sequence counts groups from 1; the checksum
// is the CRC-32C of the group's bytes before the ECHO, after the checksum of the group before it.
const (
	logFormat = 1
	logName   = "tallybell-log"

	multi = "*1\r\n$5\r\nMULTI\r\n"
	exec  = "*1\r\n$4\r\nEXEC\r\n"
)

// chain is where a log stands: the groups so far and the checksum of the last.
type chain struct {
	seq uint64
	sum uint32
}

func (c chain) next(body []byte) chain {
	var before [4]byte
	for i := range before {
		before[i] = byte(c.sum >> (8 * i))
	}
	table := crc32.MakeTable(crc32.Castagnoli) // made once by the library
	sum := crc32.Update(crc32.Update(0, table, before[:]), table, body)
	return chain{c.seq + 1, sum}
}

func (c chain) echo() string {
	return fmt.Sprintf("%s %d %d %08x", logName, logFormat, c.seq, c.sum)
}

// appendGroup writes encoded commands as the group that follows c, and returns where the log stands then.
func (c chain) appendGroup(b, commands []byte) ([]byte, chain) {
	start := len(b)
	b = append(b, multi...)
	b = append(b, commands...)
	next := c.next(b[start:])
	b = appendCommand(b, "ECHO", next.echo())
	return append(b, exec...), next
}

// readGroup reads the group at the reader's place that follows c. Its error is cut{} when the bytes end
// before the group does.
func (c chain) readGroup(r *respReader) ([][]string, chain, error) {
	start := r.at
	if err := r.literal(multi); err != nil {
		return nil, c, err
	}
	var commands [][]string
	for {
		before := r.at
		words, err := r.command()
		if err != nil {
			return nil, c, err
		}
		if words[0] != "ECHO" {
			commands = append(commands, words)
			continue
		}
		next := c.next(r.b[start:before])
		if err := next.checkEcho(words); err != nil {
			return nil, c, err
		}
		return commands, next, r.literal(exec)
	}
}

func (c chain) checkEcho(words []string) error {
	if len(words) == 2 && words[1] == c.echo() {
		return nil
	}
	var f int
	var seq uint64
	var sum string
	if len(words) == 2 {
		if _, err := fmt.Sscanf(words[1], logName+" %d %d %s", &f, &seq, &sum); err == nil && f > logFormat {
			return fmt.Errorf("a group of format %d, written by a newer tallybell (this one reads format %d)", f, logFormat)
		}
	}
	return fmt.Errorf("a group whose checksum is not %s", strconv.Quote(c.echo()))
}
