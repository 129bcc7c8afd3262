// Small pure rules of the page: ids, cursors, waiting times, dates. Nothing here touches the page or the network.

// randomKey returns n random bytes as base64url without padding.
export function randomKey(n) {
  const bytes = crypto.getRandomValues(new Uint8Array(n));
  return btoa(String.fromCharCode(...bytes)).replace(/\+/g, '-').replace(/\//g, '_').replace(/=+$/, '');
}

// later reports whether cursor a lies after cursor b. Cursors are decimal numbers of any length; '' is before all.
export function later(a, b) {
  if (a.length !== b.length) return a.length > b.length;
  return a > b;
}

// wait returns the milliseconds before connection attempt n (from 0): between half and the whole of a time that
// doubles from 1 s to 30 s, so that many pages do not come back at one moment. random is in [0, 1).
export function wait(n, random) {
  const whole = Math.min(30000, 1000 * 2 ** Math.min(n, 10));
  return Math.round(whole / 2 + (whole / 2) * random);
}

// waitAfterClose is wait, with the close code's advice: 1013 asks for more time, 1001 for a spread of a few seconds.
export function waitAfterClose(code, n, random) {
  if (code === 1013) return 5000 + wait(n + 1, random);
  if (code === 1001) return Math.round(500 + 3500 * random);
  return wait(n, random);
}

// invitation reads "#join=CLUB.SECRET" and returns "CLUB.SECRET", or '' when there is none.
export function invitation(hash) {
  const m = /^#join=([A-Za-z0-9._~-]{3,300})$/.exec(hash);
  return m ? m[1] : '';
}

// bytes returns the length of text in UTF-8.
export function bytes(text) {
  return new TextEncoder().encode(text).length;
}

// isoDate returns the local calendar date of d as YYYY-MM-DD.
export function isoDate(d) {
  const two = (n) => String(n).padStart(2, '0');
  return `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())}`;
}

// longDate writes 2027-02-01 as "Monday 1 February"; text that is no date comes back as it is.
export function longDate(iso) {
  const m = /^(\d{4})-(\d\d)-(\d\d)$/.exec(iso || '');
  if (!m) return iso || '';
  return new Date(+m[1], +m[2] - 1, +m[3]).toLocaleDateString('en-GB', { weekday: 'long', day: 'numeric', month: 'long' });
}

// when writes an instant as the reader's clock shows it: the time alone today, with the day before that.
export function when(instant, now) {
  const d = new Date(instant || NaN);
  if (Number.isNaN(d.getTime())) return '';
  const time = d.toLocaleTimeString('en-GB', { hour: '2-digit', minute: '2-digit' });
  if (isoDate(d) === isoDate(now)) return time;
  return d.toLocaleDateString('en-GB', { weekday: 'short', day: 'numeric', month: 'short' }) + ', ' + time;
}

// ordinal writes 1 as "1st".
export function ordinal(n) {
  const tens = n % 100;
  if (tens >= 11 && tens <= 13) return n + 'th';
  return n + ({ 1: 'st', 2: 'nd', 3: 'rd' }[n % 10] || 'th');
}

// versionWords writes a version as people say it; '' when it was not told.
export function versionWords(v) {
  return { as_written: 'as written', scaled: 'scaled', all: 'all' }[v] || '';
}
