package e2e

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// binary is the tallybell that TestMain built.
var binary string

func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "tallybell-e2e")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	binary = filepath.Join(dir, "tallybell")
	build := exec.Command("go", "build", "-o", binary, "tallybell/cmd/tallybell")
	build.Stderr = os.Stderr
	if err := build.Run(); err != nil {
		fmt.Fprintln(os.Stderr, "building tallybell:", err)
		os.Exit(1)
	}
	if err := chooseClub(filepath.Join(dir, "club.txt")); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	code := m.Run()
	_ = os.RemoveAll(dir)
	os.Exit(code)
}

// clubOffset is how many hours the clock of the tests' club is ahead of UTC: there it is about 3 in the morning, so that
// the date does not turn while the tests run, and nothing is due by itself before the send time.
var clubOffset = func(hour int) int {
	if hour > 14 {
		return 27 - hour
	}
	return 3 - hour
}(time.Now().UTC().Hour())

// chooseClub writes the club file that each server of the tests reads. The names of Etc zones turn the sign round.
func chooseClub(file string) error {
	text := fmt.Sprintf("club: club\nname: An invented club\nzone: Etc/GMT%+d\nsend at: 06:30\ndivisions: women, men\n", -clubOffset)
	if err := os.Setenv("TALLYBELL_CLUB", file); err != nil {
		return err
	}
	return os.WriteFile(file, []byte(text), 0o600)
}

// process is a running tallybell.
type process struct {
	t      testing.TB
	cmd    *exec.Cmd
	url    string
	exited chan struct{} // closed once it has ended
	code   int

	mu  sync.Mutex
	err bytes.Buffer // what it wrote to stderr
	out bytes.Buffer
}

// start runs tallybell and waits until it listens.
func start(t testing.TB, args ...string) *process {
	t.Helper()
	p := launch(t, nil, args...)
	waitFor(t, "the server to listen", func() bool {
		select {
		case <-p.exited:
			t.Fatalf("%v ended with %d:\n%s", args, p.code, p.stderr())
		default:
		}
		for line := range strings.Lines(p.stderr()) {
			if url, ok := strings.CutPrefix(line, "listening on "); ok && strings.HasSuffix(line, "\n") {
				p.url = strings.TrimSpace(url)
				return true
			}
		}
		return false
	})
	return p
}

// launch runs tallybell without waiting for anything; wrap is put before it on the command line.
func launch(t testing.TB, wrap []string, args ...string) *process {
	t.Helper()
	line := append(append([]string{}, wrap...), append([]string{binary}, args...)...)
	p := &process{t: t, cmd: exec.Command(line[0], line[1:]...), exited: make(chan struct{})}
	p.cmd.Dir = t.TempDir()
	p.cmd.SysProcAttr = &syscall.SysProcAttr{Pdeathsig: syscall.SIGKILL}
	stderr, err := p.cmd.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	stdout, err := p.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := p.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	var readers sync.WaitGroup
	readers.Go(func() { p.collect(bufio.NewReader(stderr), &p.err) })
	readers.Go(func() { p.collect(bufio.NewReader(stdout), &p.out) })
	go func() {
		readers.Wait()
		err := p.cmd.Wait()
		var exit *exec.ExitError
		switch {
		case err == nil:
		case errors.As(err, &exit):
			p.code = exit.ExitCode()
		default:
			p.code = -2
		}
		close(p.exited)
	}()
	t.Cleanup(func() { p.kill() })
	return p
}

func (p *process) collect(r *bufio.Reader, to *bytes.Buffer) {
	for {
		line, err := r.ReadString('\n')
		p.mu.Lock()
		to.WriteString(line)
		p.mu.Unlock()
		if err != nil {
			return
		}
	}
}

func (p *process) stderr() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.err.String()
}

func (p *process) stdout() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.out.String()
}

// kill ends the process as a power cut would and waits until it is gone.
func (p *process) kill() {
	_ = p.cmd.Process.Kill()
	<-p.exited
}

// stop asks the process to end, as systemd would, and returns its exit code.
func (p *process) stop() int {
	p.t.Helper()
	if err := p.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		p.t.Fatal(err)
	}
	select {
	case <-p.exited:
	case <-time.After(10 * time.Second):
		p.t.Fatalf("still running 10 s after SIGTERM:\n%s", p.stderr())
	}
	return p.code
}

// waitFor asks until it is so, for at most 30 s.
func waitFor(t testing.TB, what string, is func() bool) {
	t.Helper()
	deadline := time.Now().Add(30 * time.Second)
	tick := time.NewTicker(10 * time.Millisecond)
	defer tick.Stop()
	for !is() {
		if time.Now().After(deadline) {
			t.Fatalf("waited 30 s for %s", what)
		}
		<-tick.C
	}
}

// needed returns the path of a program that a test needs; where everything is to be tested, its absence fails.
func needed(t testing.TB, program, install string) string {
	t.Helper()
	path, err := exec.LookPath(program)
	if err == nil {
		return path
	}
	if os.Getenv("TALLYBELL_TEST_ALL") != "" {
		t.Fatalf("no %s here; install it: apt-get install -y --no-install-recommends %s", program, install)
	}
	t.Skipf("no %s here; install it: apt-get install -y --no-install-recommends %s", program, install)
	return ""
}

// redis is a real Redis in a folder of its own.
type redis struct {
	t    testing.TB
	port string
	dir  string
	args []string
	cmd  *exec.Cmd
}

func startRedis(t testing.TB, args ...string) *redis {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	_, port, _ := net.SplitHostPort(l.Addr().String())
	_ = l.Close()
	r := &redis{t: t, port: port, dir: t.TempDir(), args: args}
	r.start()
	t.Cleanup(r.kill)
	return r
}

func (r *redis) url() string { return "redis://127.0.0.1:" + r.port }

func (r *redis) start() {
	r.t.Helper()
	server := needed(r.t, "redis-server", "redis-server redis-tools")
	r.cmd = exec.Command(server, append([]string{"--port", r.port, "--bind", "127.0.0.1", "--dir", r.dir, "--save", ""}, r.args...)...)
	r.cmd.SysProcAttr = &syscall.SysProcAttr{Pdeathsig: syscall.SIGKILL}
	if err := r.cmd.Start(); err != nil {
		r.t.Fatal(err)
	}
	waitFor(r.t, "redis-server", func() bool {
		c, err := net.Dial("tcp", "127.0.0.1:"+r.port)
		if err != nil {
			return false
		}
		defer c.Close()
		_, _ = c.Write([]byte("PING\r\n"))
		b := make([]byte, 5)
		_, err = c.Read(b)
		return err == nil && string(b) == "+PONG"
	})
}

func (r *redis) kill() {
	_ = r.cmd.Process.Kill()
	_ = r.cmd.Wait()
}

// durable are the settings that tallybell accepts.
var durable = []string{"--appendonly", "yes", "--appendfsync", "always", "--maxmemory-policy", "noeviction"}
