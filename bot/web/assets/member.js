// The member's page: join by link, read today's session, type back what was done.

import { Log } from './log.js';
import { Outbox } from './outbox.js';
import { ReplyBox } from './replybox.js';
import { Sending } from './sending.js';
import { Transcript } from './transcript.js';
import { Wire } from './wire.js';
import { join, pending, settle } from './join.js';
import { bytes, isoDate, later } from './pace.js';

const by = (id) => document.getElementById(id);
// A coach may have both a member's and a coach's cookie in one browser; the address says whose conversation this is.
const as = new URLSearchParams(location.search).get('as') === 'coach' ? 'coach' : 'member';
const page = {
  state: by('state'), door: by('door'), doorText: by('door-text'), doorAgain: by('door-again'), log: by('log'),
  write: by('write'), today: by('today'), newer: by('newer'), coach: by('coach-link'), empty: by('empty'), ask: by('ask'),
};

let member = '';
let sending = null; // made as soon as it is known whose page this is
let transcript = null;
let cursor = null; // of the last post had on this page; null asks for the last 14 days
const kept = new Map(); // cursor -> post of the kept copy, until the server has told it anew
let maxBytes = 4096;
let seen = '';
let quietTimer = 0;
let placed = false; // the server's telling has been put in place once
let moved = false; // the reader has scrolled: the page is theirs

const log = new Log(page.log, { choose: say });
const box = new ReplyBox(by('say'), say);
const url = (location.protocol === 'https:' ? 'wss://' : 'ws://') + location.host + '/chat?as=' + as;
const wire = new Wire(url, { frame, state, since: () => cursor, allowed: async () => (await whoami()) !== null });

// whoami asks the server who this phone belongs to: a member, null when nobody, undefined when it cannot be asked.
async function whoami() {
  try {
    const response = await fetch('/api/me?as=' + as, { cache: 'no-store' });
    if (response.status === 401 || response.status === 403) return null;
    if (!response.ok) return undefined;
    return await response.json();
  } catch {
    return undefined;
  }
}

// --- coming in

async function begin() {
  const link = pending(localStorage, location.hash);
  if (link && !(await useLink(link))) return;
  const me = await whoami();
  if (me === null) {
    showDoor('This phone does not belong to a member yet. Open the link that your coach gave you, on this phone.', false);
    return;
  }
  if (me) own(me.id);
  else if (remembered()) own(remembered());
  page.door.hidden = true;
  page.write.hidden = false;
  page.log.parentElement.hidden = false;
  wire.start();
}

// useLink joins and returns whether to go on. A link that was used before is no trouble on a phone that is in already.
async function useLink(link) {
  showDoor('One moment: your link is being used.', false);
  const answer = await join(link.invite, link.key);
  if (!answer.ok && answer.again) {
    showDoor(answer.text, true);
    setTimeout(begin, 5000 + 5000 * Math.random());
    return false;
  }
  settle(localStorage);
  if (answer.ok || (await whoami())) return true;
  showDoor(answer.text, false);
  return false;
}

function remembered() {
  try {
    return localStorage.getItem('tallybell.' + as) || '';
  } catch {
    return '';
  }
}

// own makes the page the member's: their outbox, and the kept copy of their conversation.
function own(id) {
  if (id === member) return;
  const changed = member !== '';
  member = id;
  try {
    localStorage.setItem('tallybell.' + as, id);
  } catch {
    // The page works without memory.
  }
  if (changed) {
    location.reload(); // somebody else's conversation begins on a clean page
    return;
  }
  transcript = new Transcript(localStorage, id);
  for (const post of transcript.posts()) {
    kept.set(post.cursor, post);
    log.add(post);
  }
  sending = new Sending({ outbox: new Outbox(localStorage, id), log, wire, complain, rewrite: (text) => box.giveBack(text) });
  sending.cut();
  afterPosts();
  if (kept.size) place();
}

function showDoor(text, again) {
  page.door.hidden = false;
  page.doorText.textContent = text;
  page.doorAgain.hidden = !again;
  page.write.hidden = true;
  page.log.parentElement.hidden = true;
}

// --- the connection

function state(now) {
  if (now === 'refused') {
    showDoor('This phone is signed out. Ask your coach for a new link.', false);
    return;
  }
  page.state.textContent = { connecting: 'Connecting …', open: 'Connected', waiting: 'No connection. What you write is kept and sent when it is back.' }[now];
  page.state.classList.toggle('away', now === 'waiting');
  page.state.classList.toggle('well', now === 'open');
  if (now !== 'open' && sending) sending.cut();
}

function frame(f) {
  if (f.type === 'welcome') welcome(f);
  if (f.type === 'post' && typeof f.cursor === 'string') post(f);
  if (f.type === 'problem' && sending) sending.problem(f);
}

function welcome(f) {
  const before = member;
  if (f.member && f.member.id) own(f.member.id);
  if (before && before !== member) return;
  page.coach.hidden = f.role !== 'coach';
  by('results-link').hidden = f.role === 'coach';
  if (f.role === 'coach') {
    maxBytes = 64 * 1024;
    page.ask.textContent = 'Your words';
  }
  page.log.setAttribute('aria-busy', 'true');
  quiet();
  sending.connected();
}

function post(p) {
  const mine = p.re && log.pending.has(p.re);
  const atEnd = nearEnd();
  if (p.re) sending.answered(p.re);
  const copy = kept.get(p.cursor);
  kept.delete(p.cursor);
  const node = copy && JSON.stringify(copy) !== JSON.stringify(p) ? log.replace(p) : log.add(p);
  if (cursor === null || later(p.cursor, cursor)) cursor = p.cursor;
  transcript.keep(p);
  if (node) {
    afterPosts();
    if (page.log.getAttribute('aria-busy') === 'true') quiet();
    else if (mine || atEnd) node.scrollIntoView({ block: p.kind === 'session' ? 'start' : 'nearest' });
    else page.newer.hidden = false;
  }
  tellSeen();
  sending.next();
}

// quiet waits for the backlog to end: then the page is put where the reader wants to be, and later posts are read out.
function quiet() {
  clearTimeout(quietTimer);
  quietTimer = setTimeout(() => {
    // What was kept and is not told any more is gone; a server that has told nothing yet has not said so.
    if (cursor !== null) {
      for (const old of kept.keys()) log.drop(old);
      kept.clear();
    }
    page.log.setAttribute('aria-busy', 'false');
    page.log.setAttribute('aria-live', 'polite');
    page.empty.hidden = log.posts.size > 0;
    if (!placed) place();
    placed = true;
  }, 250);
}

// place shows the newest: the top of a session, or the end of what was said after it.
function place() {
  if (moved) return;
  const newest = log.posts.get(log.last);
  if (newest && log.last === log.newestSession && log.pending.size === 0) newest.scrollIntoView({ block: 'start' });
  else scrollTo({ top: document.documentElement.scrollHeight });
}

function nearEnd() {
  return document.documentElement.scrollHeight - scrollY - innerHeight < 160;
}

function afterPosts() {
  if (log.posts.size > 0) page.empty.hidden = true;
  const session = log.latestSessionPost;
  page.today.hidden = !session;
  if (!session) return;
  page.today.textContent = session.date === isoDate(new Date()) ? 'Today’s session' : 'Latest session';
  const part = ((session.card && session.card.parts) || []).find?.((p) => p.reply && !log.done.has(p.letter));
  box.example(part ? part.reply : '');
}

// --- words

function say(text) {
  const clean = text.trim();
  if (!clean || !sending) return false;
  if (bytes(clean) > maxBytes) {
    complain('That is too long to send in one message. Please send it in two.');
    return false;
  }
  sending.queue(clean).scrollIntoView({ block: 'nearest' });
  return true;
}

// complain says something in the line of state, above the reply box.
function complain(text) {
  page.state.textContent = text;
  page.state.classList.add('away');
  page.state.classList.remove('well');
}

function tellSeen() {
  if (document.visibilityState !== 'visible' || cursor === null || cursor === seen) return;
  if (wire.send({ type: 'seen', cursor }, false)) seen = cursor;
}

// --- getting about

function goTo(node) {
  if (!node) return;
  node.scrollIntoView({ block: 'start' });
  node.focus({ preventScroll: true });
}

box.reachedBy(document.querySelector('.skip'));
page.today.addEventListener('click', (event) => {
  event.preventDefault();
  goTo(by('session'));
});
page.newer.addEventListener('click', () => {
  page.newer.hidden = true;
  goTo(log.posts.get(log.last));
});
page.doorAgain.addEventListener('click', begin);
for (const hand of ['wheel', 'touchmove', 'keydown']) addEventListener(hand, () => { moved = true; }, { once: true, passive: true });
addEventListener('scroll', () => {
  if (!page.newer.hidden && nearEnd()) page.newer.hidden = true;
}, { passive: true });
document.addEventListener('visibilitychange', tellSeen);
addEventListener('hashchange', () => {
  if (location.hash.startsWith('#join=')) location.reload();
});
addEventListener('storage', (event) => {
  if (sending && event.key === sending.on.outbox.key) sending.elsewhere();
});

if ('serviceWorker' in navigator && isSecureContext) navigator.serviceWorker.register('/sw.js').catch(() => {});
begin();
