package gateway

import (
	"tallybell/bot/web"
	"tallybell/leaderboard"
)

// attentionTitles are the headings of the attention list, by rule. Rules that follow each other in the list share one.
var attentionTitles = map[leaderboard.Rule]string{
	leaderboard.RuleHurt: "Hurt", leaderboard.RuleIncident: "Mishap", leaderboard.RuleQuestion: "Waiting for an answer", leaderboard.RuleQuiet: "Quiet",
	leaderboard.RuleNewcomer: "New", leaderboard.RuleOutOfTime: "Out of time", leaderboard.RuleLight: "Ready for more",
	leaderboard.RuleFastest: "Ready for more", leaderboard.RuleMarked: "Please check", leaderboard.RuleLoad: "More than before",
}

// attentionView groups the list by headings; its order stays.
func attentionView(list []leaderboard.Notice) []web.Attention {
	var out []web.Attention
	for _, n := range list {
		title := attentionTitles[n.Rule]
		if len(out) == 0 || out[len(out)-1].Title != title {
			out = append(out, web.Attention{Title: title})
		}
		last := &out[len(out)-1]
		last.Lines = append(last.Lines, web.AttentionLine{Person: web.Person{ID: n.Member, Name: n.Name}, Reason: n.Reason, Because: n.Because, Offer: n.Offer})
	}
	return out
}
