package e2e

import (
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// byRule is the command as browsers before and after 2026 take it: the older ones want offline beside the rules too.
type byRule struct {
	Offline bool `json:"offline"`
	network.EmulateNetworkConditionsByRuleParams
}

var emulateByRule = cdp.Command[byRule, network.EmulateNetworkConditionsByRuleResult]{Method: network.CommandEmulateNetworkConditionsByRule}

// offline takes the page's network away, or gives it back; the browser itself tells the page.
func (p *page) offline(yes bool) {
	p.t.Helper()
	conditions := []*network.Conditions{} // none: the network as it is
	if yes {
		conditions = append(conditions, &network.Conditions{Offline: true, DownloadThroughput: -1, UploadThroughput: -1})
	}
	if _, err := chromedp.Call(p.ctx, emulateByRule, byRule{yes, network.EmulateNetworkConditionsByRuleParams{
		EmulateOfflineServiceWorker: &yes, MatchedNetworkConditions: conditions}}); err != nil {
		p.t.Fatal(err)
	}
	if _, err := chromedp.Call(p.ctx, network.OverrideNetworkState, network.OverrideNetworkStateParams{
		Offline: yes, DownloadThroughput: -1, UploadThroughput: -1}); err != nil {
		p.t.Fatal(err)
	}
}

// A phone that goes through a tunnel: what is typed there waits, survives a reload, and arrives once and in order.
func TestAPhoneWithoutNetwork(t *testing.T) {
	p := browse(t)
	_, memberLink, _ := demo(t, "127.0.0.1:0", filepath.Join(t.TempDir(), "demo"))
	p.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch, chromedp.EmulateScale(2)))
	p.do(chromedp.Navigate(memberLink))
	p.says("Today’s session")
	p.says("Connected")
	p.until("navigator.serviceWorker.controller !== null")
	p.offline(true)
	p.says("No connection.")
	p.reply("B 31/33/47/32 as written")
	p.reply("C 10:02 as written")
	p.until("document.querySelectorAll('.waiting').length === 2")
	p.do(chromedp.Reload())
	p.says("split squats") // the page and the session are kept on the phone
	p.until("document.querySelectorAll('.waiting').length === 2")
	if n := p.times("C: 10:02, as written"); n != 0 {
		t.Fatalf("answered %d times without a network: the test proves nothing", n)
	}
	p.offline(false)
	p.says("C: 10:02, as written")
	p.until("document.querySelectorAll('.waiting').length === 0")
	p.do(chromedp.Reload())
	p.says("C: 10:02, as written")
	for _, once := range []string{"B: 143 reps, as written", "C: 10:02, as written"} {
		if n := p.times(once); n != 1 {
			t.Errorf("%q is there %d times", once, n)
		}
	}
	p.until("document.getElementById('log').innerText.indexOf('B: 143 reps') < document.getElementById('log').innerText.indexOf('C: 10:02, as written')")
}
