// The session as a card. Amounts are large, cautions always stand open, what explains a movement folds away.

import { el, linked } from './dom.js';
import { isoDate, longDate } from './pace.js';

// split parts a movement's line into its amount, its name and what follows: "16 step-ups, 8 each side" gives
// ['16', 'step-ups', '8 each side'].
export function split(text, amount) {
  const share = /^(\d+%) (of your own result in [A-Z]): (.+)$/.exec(text);
  if (share) {
    const [, name, rest] = split(share[3], '');
    return [share[1], name, share[2] + (rest && ', ' + rest)];
  }
  let lead = amount && text.startsWith(amount + ' ') ? amount : '';
  if (!lead) lead = (/^\d[\d:.,–-]*(?= )/.exec(text) || [''])[0];
  const rest = text.slice(lead.length).trim();
  const comma = rest.indexOf(', ');
  if (comma < 0) return [lead, rest, ''];
  return [lead, rest.slice(0, comma), rest.slice(comma + 2)];
}

// drawSession returns the card as an element. post is the post that it came with.
export function drawSession(card, post) {
  const date = card.date || post.date || '';
  const today = date === isoDate(new Date());
  const root = el('section', { class: 'session', 'aria-label': card.title, 'data-date': date });
  root.append(el('header', {},
    el('p', {}, today ? 'Today, ' + longDate(date) : longDate(date)),
    el('h2', { dir: 'auto' }, card.title),
    card.programme && el('p', { dir: 'auto' }, card.programme)));
  root.append(facts(card));
  for (const kit of card.kit_cares || []) {
    root.append(el('p', { class: 'care', dir: 'auto' }, el('strong', {}, kit.label + ': '), kit.cares.join('; ') + '.'));
  }
  if (card.about) root.append(el('p', { class: 'about', dir: 'auto' }, linked(card.about)));
  if (card.note) root.append(el('p', { class: 'about', dir: 'auto' }, linked(card.note)));
  if (card.warm_up) root.append(section('Warm-up', card.warm_up));
  for (const part of card.parts || []) root.append(drawPart(part));
  if (card.cool_down) root.append(section('Cool-down', card.cool_down));
  return root;
}

function facts(card) {
  const kit = card.no_kit ? 'nothing' : (card.kit || []).join(', ');
  const rows = [
    ['You need', kit], ['Focus', card.focus], ['Time', card.length ? 'up to ' + card.length : card.estimate && 'about ' + card.estimate],
    ['Effort', card.effort], ['Level', card.level], ['Your choice', card.choose], ['Short of time', card.short && 'do ' + card.short],
  ].filter(([, value]) => value);
  if (rows.length === 0) return '';
  return el('dl', { class: 'facts' }, rows.map(([name, value]) => el('div', {}, el('dt', {}, name), el('dd', { dir: 'auto' }, value))));
}

function section(title, movements) {
  return el('section', { class: 'part', 'aria-label': title }, el('h3', {}, title), movements.map(drawMovement));
}

function drawPart(part) {
  const title = `Part ${part.letter}`;
  const root = el('section', { class: 'part', 'aria-label': title },
    el('h3', {}, el('span', { class: 'letter' }, el('span', { class: 'for-readers' }, 'Part '), part.letter), el('span', {}, part.scheme)));
  const settings = (part.settings || []).slice();
  if (part.optional && !settings.some((s) => /optional/i.test(s))) settings.push('Optional');
  if (part.cap && !settings.some((s) => /cap/i.test(s))) settings.push('Cap: ' + part.cap);
  if (part.aim && !settings.some((s) => /^aim/i.test(s))) settings.push('Aim: ' + part.aim);
  for (const more of [part.short, part.choice]) if (more) settings.unshift(more);
  if (settings.length) root.append(el('ul', { class: 'settings' }, settings.map((s) => el('li', {}, s))));
  if (part.note) root.append(el('p', { dir: 'auto' }, linked(part.note)));
  if (part.eased_says) root.append(el('p', { class: 'badge' }, part.eased_says));
  root.append(...(part.movements || []).map(drawMovement));
  if (part.reply) {
    root.append(el('p', { class: 'answer-like' }, 'Reply like ', el('code', {}, part.reply),
      part.reply_unfinished && [', out of time ', el('code', {}, part.reply_unfinished)]));
  }
  return root;
}

function drawMovement(m) {
  if (m.leave_out) return drawLeftOut(m);
  const [amount, name, rest] = split(m.text || m.name, m.amount);
  const below = [rest, m.load && 'Load: ' + m.load, m.tempo && 'Tempo ' + m.tempo, m.reserve].filter(Boolean);
  const root = el('div', { class: m.no_fit ? 'line nofit' : 'line' }, at(m), el('p', { class: amount ? 'do' : 'do bare' },
    amount && el('span', { class: amount.length > 5 ? 'amount long' : 'amount' }, amount + ' '),
    el('span', { class: 'name', dir: 'auto' }, name, below.map((b) => el('small', {}, b)))));
  if (m.no_fit) root.append(el('p', { class: 'badge' }, 'No fit'));
  for (const why of [...(m.why || []), m.counts].filter(Boolean)) root.append(el('p', { class: 'why', dir: 'auto' }, sentence(why)));
  root.append(...cautions(m));
  if (m.ways && m.ways.length) root.append(drawWays(m.ways));
  const how = [m.one_rep && 'One rep: ' + m.one_rep, ...(m.cues || [])].filter(Boolean);
  if (how.length) {
    root.append(el('details', { class: 'how' }, el('summary', {}, 'How', el('span', { class: 'for-readers' }, ' to do ' + name)),
      el('ul', {}, how.map((h) => el('li', { dir: 'auto' }, h)))));
  }
  for (const link of m.links || []) root.append(el('p', { class: 'watch' }, 'Watch: ', linked(link)));
  return root;
}

// drawLeftOut says what a member leaves out, and why.
function drawLeftOut(m) {
  return el('div', { class: 'line out' }, at(m), el('p', { class: 'do bare' }, el('span', { class: 'name', dir: 'auto' }, 'Leave out: ' + m.text)),
    (m.why || []).map((why) => el('p', { class: 'why', dir: 'auto' }, sentence(why))));
}

// at tells when on the part's clock a movement is done.
function at(m) {
  return m.clock && el('p', { class: 'at' }, m.clock);
}

function sentence(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

// cautions are never folded by themselves: they stand with what they are about, a test before them.
function cautions(m) {
  const list = m.cautions || [];
  const out = [m.test && el('p', { class: 'care', dir: 'auto' }, el('strong', {}, 'Test first: '), m.test + '.'),
    list.length > 0 && el('p', { class: 'care', dir: 'auto' }, el('strong', {}, 'Take care: '), list.join('; ') + '.')];
  return out.filter(Boolean);
}

// drawWays stand open at first, so that no caution begins hidden; a reader may fold them.
function drawWays(ways) {
  const kinds = ways.map((w) => w.kind);
  const label = kinds.every((k) => k === 'easier') ? 'Easier' : 'Other ways';
  return el('details', { class: 'ways', open: ways.some((w) => (w.cautions || []).length || w.test) },
    el('summary', {}, label),
    el('ul', {}, ways.map((w) => el('li', {},
      el('p', { dir: 'auto' }, label === 'Easier' ? '' : el('b', {}, w.label + ': '), [w.text, w.load && !w.text.includes(w.load) && w.load, w.tempo && 'tempo ' + w.tempo].filter(Boolean).join(', ')),
      cautions(w)))));
}
