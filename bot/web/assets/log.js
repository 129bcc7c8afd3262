// The log is the conversation on the page: what the server posted, in the order of its cursors and each once, and
// below it what still waits to be sent.

import { el, linked } from './dom.js';
import { later, longDate, ordinal, versionWords, when } from './pace.js';
import { drawSession } from './card.js';

const senders = { session: 'Session', answer: 'Tallybell', report: 'Morning report', notice: 'Notice', coach: 'Your coach' };

export class Log {
  // root is the element with role log; on.choose(text) sends a suggestion.
  constructor(root, on) {
    this.root = root;
    this.on = on;
    this.posts = new Map(); // cursor -> element
    this.pending = new Map(); // id -> element
    this.newestSession = '';
    this.newestAnswer = '';
    this.last = '';
    this.latestSessionPost = null;
    this.done = new Set(); // parts of the newest session that were logged
  }

  // replace shows a post anew, as the server tells it now.
  replace(post) {
    this.drop(post.cursor);
    return this.add(post);
  }

  // drop takes a post off the page.
  drop(cursor) {
    this.posts.get(cursor)?.remove();
    this.posts.delete(cursor);
    if (this.newestSession === cursor) this.newestSession = '';
    if (this.newestAnswer === cursor) this.newestAnswer = '';
  }

  // add shows a post and returns its element, or null when it is there already.
  add(post) {
    if (this.posts.has(post.cursor)) return null;
    const node = this.draw(post);
    node.dataset.cursor = post.cursor;
    this.root.insertBefore(node, this.after(post.cursor));
    this.posts.set(post.cursor, node);
    if (later(post.cursor, this.last)) this.last = post.cursor;
    if (post.kind === 'session') this.foldOlder(post, node);
    for (const l of (post.card && post.card.logged) || []) this.done.add(l.part);
    if (post.kind === 'answer') this.closeOlderChoices(post.cursor, node);
    return node;
  }

  // after returns the element that a post with that cursor stands before: a later post, or the first that waits.
  after(cursor) {
    for (const node of this.root.children) {
      if (!node.dataset.cursor || later(node.dataset.cursor, cursor)) return node;
    }
    return null;
  }

  draw(post) {
    const now = new Date();
    const children = [];
    if (post.said) {
      children.push(stamp('You', ''), el('p', { class: 'mine', dir: 'auto' }, post.said));
    }
    children.push(stamp(senders[post.kind] || 'Tallybell', when(post.at, now)));
    if (post.kind === 'session') {
      children.push(this.drawSession(post));
    } else {
      const logged = (post.card && post.card.logged) || [];
      if (logged.length) children.push(tally(logged, post.text || ''));
      children.push(el('div', { class: 'words', dir: 'auto' }, linked(post.text || '')));
      const choices = post.kind === 'answer' ? this.choices(post) : null;
      if (choices) children.push(choices);
    }
    return el('article', { class: 'entry', 'data-kind': post.kind, tabindex: '-1' }, children);
  }

  drawSession(post) {
    try {
      const drawn = post.card ? drawSession(post.card, post) : null;
      if (drawn) return drawn;
    } catch (problem) {
      console.warn('the card could not be drawn, its text is shown', problem);
    }
    return el('div', { class: 'session' }, el('div', { class: 'words', dir: 'auto' }, linked(post.text || '')));
  }

  // choices offers the answers of the question that is open; a tap sends the text, the label is what is read.
  choices(post) {
    const card = post.card || {};
    const asked = card.ask || {};
    const texts = (asked.options || []).length ? asked.options : ((card.asks || []).find((a) => (a.suggest || []).length > 0) || {}).suggest;
    if (!texts || !texts.length) return null;
    const labels = texts === asked.options && (asked.labels || []).length === texts.length ? asked.labels : texts;
    const group = el('div', { class: 'choices', role: 'group', 'aria-label': 'Answers you can tap' });
    texts.forEach((text, i) => {
      const button = el('button', { type: 'button' }, labels[i]);
      button.addEventListener('click', () => this.on.choose(text));
      group.append(button);
    });
    return group;
  }

  closeOlderChoices(cursor, node) {
    if (later(this.newestAnswer, cursor)) {
      node.querySelector('.choices')?.remove();
      return;
    }
    this.posts.get(this.newestAnswer)?.querySelector('.choices')?.remove();
    this.newestAnswer = cursor;
  }

  // foldOlder keeps only the newest session unfolded.
  foldOlder(post, node) {
    const older = later(this.newestSession, post.cursor) ? node : this.posts.get(this.newestSession);
    if (older !== node) {
      this.newestSession = post.cursor;
      this.latestSessionPost = post;
      this.done.clear();
      node.id = 'session';
    }
    if (!older) return;
    older.removeAttribute('id');
    const body = older.querySelector('.session');
    if (!body || body.closest('details')) return;
    const title = body.querySelector('h2')?.textContent || 'An earlier session';
    const details = el('details', { class: 'older' }, el('summary', {}, title + (body.dataset.date ? ', ' + longDate(body.dataset.date) : '')));
    body.replaceWith(details);
    details.append(body);
  }

  // wait shows what is queued; called again with the same id it only changes the words about its fate.
  wait(item, fate, sayable) {
    let node = this.pending.get(item.id);
    if (!node) {
      node = el('article', { class: 'entry waiting' }, stamp('You', when(item.at, new Date())),
        el('p', { class: 'mine', dir: 'auto' }, item.text), el('div', { class: 'outlook' }, el('p', { class: 'fate' }), el('div', { class: 'choices' })));
      this.pending.set(item.id, node);
      this.root.append(node);
    }
    const line = node.querySelector('.fate');
    line.textContent = fate;
    line.classList.toggle('trouble', Boolean(item.held));
    const choices = node.querySelector('.choices');
    choices.replaceChildren();
    for (const [label, act] of sayable || []) {
      const button = el('button', { type: 'button', class: 'quiet' }, label);
      button.addEventListener('click', act);
      choices.append(button);
    }
    return node;
  }

  // settled takes away what was queued under id.
  settled(id) {
    const node = this.pending.get(id);
    if (!node) return;
    const focused = node.contains(document.activeElement);
    node.remove();
    this.pending.delete(id);
    if (focused) document.getElementById('text')?.focus();
  }
}

function stamp(who, time) {
  return el('p', { class: 'stamp' }, el('b', {}, who), time && el('span', {}, time));
}

// tally shows logged results as figures. A rank stands here only where the text tells it too: the text decides who
// is told ranks, and when.
function tally(logged, text) {
  return el('ul', { class: 'tally', 'aria-label': 'Logged' }, logged.map((l) => {
    const ranks = (l.ranks || []).filter((r) => text.includes(`${ordinal(r.rank)} of ${r.of}`))
      .map((r) => [`${ordinal(r.rank)} of ${r.of}`, r.division, r.version === l.version ? '' : versionWords(r.version)].filter(Boolean).join(' '));
    const beside = [versionWords(l.version), ...ranks].filter(Boolean).join(' · ');
    return el('li', {}, el('span', { class: 'letter' }, l.part), el('span', { class: 'figure' }, figure(l.result)),
      beside && el('span', { class: 'beside' }, beside));
  }));
}

// figure writes a result: the text of it, or the fields of a reading.
export function figure(result) {
  if (typeof result === 'string') return result;
  if (!result) return '';
  if (result.show) return result.show;
  switch (result.kind) {
    case 'time':
      return result.finished === false ? `${result.reps} reps` : clock(result.time_ms);
    case 'hold':
      return clock(result.time_ms);
    case 'reps':
      return 'rounds' in result ? `${result.rounds} + ${result.extra}` : `${result.reps} reps`;
    case 'load':
      return `${result.load_g / 1000} kg`;
    case 'distance':
      return `${result.distance_mm / 1000} m`;
    case 'done':
      return 'done';
  }
  return '';
}

// clock writes milliseconds as 14:32 or 1:02:15.4.
export function clock(ms) {
  const two = (n) => String(n).padStart(2, '0');
  const rest = ms % 1000 ? '.' + String(ms % 1000).padStart(3, '0').replace(/0+$/, '') : '';
  const s = Math.floor(ms / 1000);
  const h = Math.floor(s / 3600);
  const m = Math.floor(s / 60) % 60;
  return (h ? `${h}:${two(m)}` : `${m}`) + `:${two(s % 60)}${rest}`;
}
