// Joining by link. The link carries its secret in the fragment, which no server and no link preview ever sees.
// The page makes a random key and keeps it until joining succeeded: if the answer is lost on the way, the same invite
// with the same key joins the same phone again.

import { invitation, randomKey } from './pace.js';

const slot = 'tallybell.joining';

// pending returns {invite, key} when there is a link to use, or null.
export function pending(storage, hash) {
  const invite = invitation(hash);
  let kept = null;
  try {
    kept = JSON.parse(storage.getItem(slot) || 'null');
  } catch {
    kept = null;
  }
  if (!invite) return kept && kept.invite && kept.key ? kept : null;
  if (kept && kept.invite === invite && kept.key) return kept;
  const fresh = { invite, key: randomKey(32) };
  try {
    storage.setItem(slot, JSON.stringify(fresh));
  } catch {
    // Without storage the key lives as long as the page.
  }
  return fresh;
}

// settle forgets the key and takes the secret out of the address.
export function settle(storage) {
  try {
    storage.removeItem(slot);
  } catch {
    // Nothing was kept.
  }
  if (location.hash.startsWith('#join=')) history.replaceState(null, '', location.pathname + location.search);
}

// join uses the invite. It returns {ok: true, member}, or {ok: false, again, text}: again means that trying later
// with the same key may work.
export async function join(invite, key) {
  let response;
  try {
    response = await fetch('/api/join', {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({ invite, key }),
    });
  } catch {
    return { ok: false, again: true, text: 'There is no connection just now. Your link is kept: this page tries again by itself.' };
  }
  if (response.ok) {
    const answer = await response.json().catch(() => ({}));
    return { ok: true, member: answer.member };
  }
  if (response.status >= 500 || response.status === 429) {
    return { ok: false, again: true, text: 'The club’s server is busy. Your link is kept: this page tries again by itself.' };
  }
  return { ok: false, again: false, text: 'This link does not work any more. A link works once, on one phone. Ask your coach for a new one.' };
}
