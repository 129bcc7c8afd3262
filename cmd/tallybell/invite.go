package main

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"

	"github.com/urfave/cli/v3"

	"tallybell/bot/roster"
)

// inviteCommand makes join links on a running server: for new members by name, or another for one who is there.
func inviteCommand() *cli.Command {
	return &cli.Command{
		Name:      "invite",
		Usage:     "make join links, on a running server",
		ArgsUsage: "NAME…",
		Description: `Adds a member for each NAME and prints their join link. With --member it makes another link for one who is there,
for a lost phone; --revoke then ends the old phone's access. A link works once.`,
		Flags: remoteFlags(
			&cli.StringFlag{Name: "member", Usage: "id of a member who is there"},
			&cli.BoolFlag{Name: "revoke", Usage: "with --member: end their old links and phones"},
			&cli.StringFlag{Name: "division", Usage: "division of the new members"},
			&cli.BoolFlag{Name: "json", Usage: "print JSON"},
		),
		Action: func(ctx context.Context, c *cli.Command) error {
			member := c.String("member")
			if member == "" && !c.Args().Present() || member != "" && c.Args().Present() {
				return cli.Exit("invite takes names, or --member ID for one who is there", exitUsage)
			}
			r, err := newRemote(c)
			if err != nil {
				return err
			}
			var invited []roster.Invited
			if member != "" {
				b, err := r.call(ctx, "POST", "/api/members/"+member+"/invites", "application/json", map[string]bool{"revoke": c.Bool("revoke")})
				if err != nil {
					return err
				}
				var one roster.Invited
				if err := json.Unmarshal(b, &one); err != nil {
					return outside("the server's answer is not an invite: %w", err)
				}
				invited = append(invited, one)
			} else {
				var list []roster.NewMember
				for _, n := range c.Args().Slice() {
					list = append(list, roster.NewMember{Name: n, Division: c.String("division")})
				}
				b, err := r.call(ctx, "POST", "/api/members", "application/json", list)
				if err != nil {
					return err
				}
				if err := json.Unmarshal(b, &invited); err != nil {
					return outside("the server's answer is not a list of invites: %w", err)
				}
			}
			return printInvites(c, invited)
		},
	}
}

func printInvites(c *cli.Command, invited []roster.Invited) error {
	out := c.Root().Writer
	if c.Bool("json") {
		b, err := json.Marshal(invited)
		if err != nil {
			return err
		}
		_, err = fmt.Fprintln(out, string(b))
		return err
	}
	var b strings.Builder
	for _, i := range invited {
		fmt.Fprintf(&b, "%s\t%s\t%s\n", i.ID, i.Name, i.Link)
	}
	_, err := fmt.Fprint(out, b.String())
	return err
}
