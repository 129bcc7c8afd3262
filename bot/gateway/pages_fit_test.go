package gateway

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"tallybell/bot"
	"tallybell/bot/roster"
	"tallybell/content"
)

// fitText is an invented sheet on which members with different kit part ways.
const fitText = `session: Bells and buckets
kit: pull-up bar, backpack
length: 10 min

Warm-up:
10 wall slide

A. 5 sets, rest 2:00
5 pull-up
  care: no swinging
  or: 10 table row
  easier: 8 towel pull-apart row

B. AMRAP 9:00
12 backpack row
10 push-up
  easier: 10 knee push-up
100 m swim
`

// officeClub keeps members as the roster does: kit by its canonical name, levels that exist.
type officeClub struct{ *deskClub }

func (o officeClub) Update(_ context.Context, _ time.Time, id string, p roster.Patch) (roster.Member, error) {
	var wrong roster.InvalidError
	m, _ := o.Get(id)
	if p.Kit != nil {
		m.Kit, m.KitTold = nil, true
		for _, k := range *p.Kit {
			name, ok := content.Builtin().FindKit(k)
			if !ok {
				wrong = append(wrong, roster.FieldProblem{Field: "kit", Message: fmt.Sprintf("%q is not known: did you mean %s?", k, strings.Join(content.Builtin().SuggestKit(k, 1), ""))})
			}
			m.Kit = append(m.Kit, name)
		}
	}
	if p.Level != nil {
		if m.Level = *p.Level; !slices.Contains([]string{"", "easier", "as written", "harder"}, m.Level) {
			wrong = append(wrong, roster.FieldProblem{Field: "level", Message: "is not a level"})
		}
	}
	if p.Limits != nil {
		m.Limits = *p.Limits
	}
	if len(wrong) > 0 {
		return roster.Member{}, wrong
	}
	o.set(func() { o.members[id] = m })
	return m, nil
}

// startFits is a club whose members have kit of their own. All are invented.
func startFits(t testing.TB) *pageRig {
	t.Helper()
	p := startPages(t)
	p.fake.set(func() {
		add := func(id, name string, kit []string, change func(*roster.Member)) {
			m := p.fake.members["ada"]
			m.ID, m.Name, m.Kit, m.KitTold = id, name, kit, kit != nil
			if change != nil {
				change(&m)
			}
			p.fake.members[id] = m
		}
		add("ada", "Ada Invented", []string{"pull-up bar", "backpack"}, nil)
		add("bo", wickedName, []string{"backpack", "pull-up bar"}, nil)
		add("cy", "Cy Invented", []string{}, func(m *roster.Member) { m.Limits = []string{content.LimitNoWrists} })
		add("di", "Di Invented", []string{"towel"}, func(m *roster.Member) { m.Level = content.LevelEasier })
		add("di2", "Di Invented", nil, nil)
		p.fake.sheets[testDate] = bot.StoredSheet{Date: testDate, Text: fitText, Version: "v0", Sent: true}
	})
	c := p.srv.clubs["lantern"]
	c.Roster = officeClub{p.desk}
	return p
}

// asked is what the check address says of a sheet, shown for somebody.
type asked struct {
	Preview string `json:"preview"`
	Length  string `json:"length"`
	As      struct {
		Who      string   `json:"who"`
		Problems []string `json:"problems"`
	} `json:"as"`
	Fits struct {
		Members int `json:"members"`
		Groups  []struct {
			Count   int      `json:"count"`
			Names   []string `json:"names"`
			Fit     string   `json:"fit"`
			Changes []struct {
				Part string   `json:"part"`
				What []string `json:"what"`
			} `json:"changes"`
		} `json:"groups"`
		More  int `json:"more"`
		NoFit []struct {
			Part, Movement string
			Members        []string
		} `json:"no_fit"`
	} `json:"fits"`
}

func (p *pageRig) checkAs(text string, q url.Values) asked {
	p.t.Helper()
	q.Set("date", "2026-12-01")
	req, err := http.NewRequest("POST", "http://"+p.addr+"/coach/check?"+q.Encode(), strings.NewReader(text))
	if err != nil {
		p.t.Fatal(err)
	}
	req.Header.Set("Origin", "http://"+p.addr)
	req.AddCookie(&http.Cookie{Name: cookieName("lantern", roster.RoleCoach), Value: p.coach})
	resp, err := p.client.Do(req)
	if err != nil {
		p.t.Fatal(err)
	}
	defer func() { _ = resp.Body.Close() }()
	var v asked
	if err := json.NewDecoder(resp.Body).Decode(&v); err != nil || resp.StatusCode != 200 {
		p.t.Fatalf("%d %v", resp.StatusCode, err)
	}
	return v
}

func TestPreviewAsAMember(t *testing.T) {
	p := startFits(t)
	for _, tt := range []struct {
		name  string
		q     url.Values
		who   string
		has   []string
		wrong []string
	}{
		{"nobody", url.Values{}, "", []string{"5 pull-ups\n"}, nil},
		{"a name", url.Values{"member": {"ada invented"}}, "Ada Invented", []string{"5 pull-ups\n", "No fit: 100 m swim"}, nil},
		{"an id", url.Values{"member": {"cy"}}, "Cy Invented", []string{"towel pull-apart rows", "no weight on wrists", "You need: nothing"}, nil},
		{"one of two of a name", url.Values{"member": {"Di Invented (di)"}}, "Di Invented", []string{"10 knee push-ups"}, nil},
		{"a name that several have", url.Values{"member": {"Di Invented"}}, "", nil, []string{`Several members are called "Di Invented"`}},
		{"a mistyped name", url.Values{"member": {"Ada Invneted"}}, "", nil, []string{"did you mean Ada Invented?"}},
		{"kit", url.Values{"kit": {"kitchen table, KB"}}, "a member: kettlebell, sturdy table", []string{"10 table rows", "with your kettlebell"}, nil},
		{"no kit", url.Values{"kit": {"None"}}, "a member: no kit", []string{"You need: nothing"}, nil},
		{"none among kit", url.Values{"kit": {"none, towel"}}, "a member: towel", nil, []string{"write none alone"}},
		{"level and limits", url.Values{"kit": {"none"}, "level": {"easier"}, "limits": {"Quiet", "no kneeling"}}, "a member: no kit; level easier; no kneeling; quiet",
			[]string{"Eased for you: counts as scaled"}, nil},
		{"level and limits not known", url.Values{"level": {"eesier"}, "limits": {"no jumpng,flying"}, "kit": {"bagpack"}}, "", nil,
			[]string{`"bagpack" is no kit that is known: did you mean backpack`, `"eesier" is no level: did you mean easier?`, `"no jumpng" is no limit: did you mean no jumping?`, `"flying" is no limit: choose among no jumping, quiet`}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			v := p.checkAs(fitText, tt.q)
			if v.As.Who != tt.who {
				t.Errorf("shown as %q, want %q", v.As.Who, tt.who)
			}
			for _, w := range tt.has {
				if !strings.Contains(v.Preview, w) {
					t.Errorf("the preview lacks %q:\n%s", w, v.Preview)
				}
			}
			for i, w := range tt.wrong {
				if i >= len(v.As.Problems) || !strings.Contains(v.As.Problems[i], w) {
					t.Errorf("told %q, want %q", v.As.Problems, w)
				}
			}
			if len(v.As.Problems) != len(tt.wrong) {
				t.Errorf("%d problems: %q", len(v.As.Problems), v.As.Problems)
			}
		})
	}
}

// A member's preview is what the same fit is sent: the coach sees no other text than the member.
func TestPreviewIsWhatTheMemberIsSent(t *testing.T) {
	p := startFits(t)
	date := content.Date{Year: 2026, Month: 12, Day: 1}
	s, _ := content.Read(content.Builtin(), "2026-12-01.txt", []byte(fitText))
	for _, m := range p.fake.All() {
		if m.Role == roster.RoleCoach {
			continue
		}
		want := content.Text(content.Fitted(s, m.FitOn(date), content.Builtin()), content.Builtin())
		if got := p.checkAs(fitText, url.Values{"member": {m.ID}}).Preview; got != want {
			t.Errorf("%s is shown\n%s\nand sent\n%s", m.ID, got, want)
		}
	}
}

func TestWhoGetsWhat(t *testing.T) {
	p := startFits(t)
	v := p.checkAs(fitText, url.Values{})
	if !strings.HasPrefix(v.Length, "About ") || !strings.HasSuffix(v.Length, "; the sheet says up to 10.") {
		t.Errorf("the length is %q", v.Length)
	}
	total := 0
	for _, g := range v.Fits.Groups {
		total += g.Count
	}
	if v.Fits.Members != 5 || total != 5 || len(v.Fits.Groups) != 4 {
		t.Fatalf("%d members, %d of them in %d fits; want 5 in 4", v.Fits.Members, total, len(v.Fits.Groups))
	}
	first := v.Fits.Groups[0]
	if first.Count != 2 || first.Fit != "backpack, pull-up bar" || !slices.Contains(first.Names, wickedName) {
		t.Errorf("first come %+v, want the two who have the bar", first)
	}
	said := fmt.Sprint(v.Fits.Groups)
	for _, w := range []string{"no pull-up bar: towel pull-apart row instead of pull-up, scaled", "no fit for swim (no pool", "no weight on wrists", "kit not told"} {
		if !strings.Contains(said, w) {
			t.Errorf("nothing says %q: %s", w, said)
		}
	}
	if strings.Contains(said, "ask your coach") {
		t.Error("the coach is told to ask the coach")
	}
	if len(v.Fits.NoFit) != 1 || v.Fits.NoFit[0].Movement != "swim" || len(v.Fits.NoFit[0].Members) != 4 {
		t.Errorf("no fit: %+v, want the swim for the four whose kit is told", v.Fits.NoFit)
	}
	_, page := p.get("/coach/sheet/2026-11-25?member=cy", p.coach)
	inOrder(t, page, "no way of doing", "swim", "As read by Cy Invented", "You need: nothing", "Who gets what", "&lt;b onclick", "scaled")
}

func TestManyFitsAreCapped(t *testing.T) {
	p := startFits(t)
	p.fake.set(func() {
		for i := range maxFits + 20 {
			m := p.fake.members["cy"]
			m.ID, m.Name = fmt.Sprintf("x%03d", i), fmt.Sprintf("Invented %03d", i)
			m.Swaps = []roster.Swap{{Movement: "push-up", Way: fmt.Sprintf("way %03d", i)}}
			p.fake.members[m.ID] = m
		}
	})
	v := p.checkAs(fitText, url.Values{})
	if len(v.Fits.Groups) != maxFits || v.Fits.More != 24 {
		t.Errorf("%d fits and %d more, want %d and 24", len(v.Fits.Groups), v.Fits.More, maxFits)
	}
	if g := v.Fits.Groups[0]; g.Count != 2 {
		t.Errorf("the fit of most members does not come first: %+v", g)
	}
}

func TestChangingAMembersFit(t *testing.T) {
	p := startFits(t)
	_, page := p.get("/coach/members/cy", p.coach)
	inOrder(t, page, "Cy Invented", `value="none"`, "Only coaches see these", `value="no weight on wrists" checked`)
	for _, tt := range []struct {
		name, kit, level string
		limits           []string
		status           int
		has              []string
		want             string
	}{
		{"kit that is not known", "towel, bagpack", "harder", []string{"quiet"}, 422,
			[]string{"Nothing was changed", `value="towel, bagpack"`, "did you mean backpack", "<option selected>harder", `value="quiet" checked`}, "cy [] true  [no weight on wrists]"},
		{"none among kit", "none, towel", "", []string{"no weight on wrists"}, 422, []string{"write none alone"}, "cy [] true  [no weight on wrists]"},
		{"kit left empty", "", "", []string{"no weight on wrists"}, 422, []string{"write none where there is no kit"}, "cy [] true  [no weight on wrists]"},
		{"all of it", "rucksack, towel", "harder", []string{"quiet", "no jumping"}, 303, nil, "cy [backpack towel] true harder [quiet no jumping]"},
		{"limits taken away", "none", "", nil, 303, nil, "cy [] true  []"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			resp, page := p.post("/coach/members/cy", p.coach, url.Values{"kit": {tt.kit}, "level": {tt.level}, "limits": tt.limits})
			if resp.StatusCode != tt.status {
				t.Errorf("status %d, want %d: %s", resp.StatusCode, tt.status, page)
			}
			for _, w := range tt.has {
				if !strings.Contains(page, w) {
					t.Errorf("%q is not on the page:\n%s", w, page)
				}
			}
			m, _ := p.fake.Get("cy")
			if got := fmt.Sprint(m.ID, " ", m.Kit, " ", m.KitTold, " ", m.Level, " ", m.Limits); got != tt.want {
				t.Errorf("the member is %s, want %s", got, tt.want)
			}
		})
	}
	if _, page = p.get("/coach/members/cy?done=fitted", p.coach); !strings.Contains(page, "Changed.") {
		t.Error("nothing says that it was changed")
	}
	if resp, _ := p.get("/coach/members/cy", p.bo); resp.StatusCode != http.StatusUnauthorized {
		t.Errorf("a member sees another's limits: %d", resp.StatusCode)
	}
	if resp, _ := p.send("POST", "/coach/members/cy", p.coach, "http://elsewhere.example", url.Values{"kit": {"towel"}}); resp.StatusCode != http.StatusForbidden {
		t.Errorf("another site's form: %d", resp.StatusCode)
	}
	if resp, _ := p.get("/coach/members/nobody", p.coach); resp.StatusCode != http.StatusNotFound {
		t.Errorf("nobody: %d", resp.StatusCode)
	}
	if _, page = p.get("/coach/members", p.coach); !strings.Contains(page, "Only coaches see limits.") {
		t.Error("the list does not say who sees limits")
	}
}
