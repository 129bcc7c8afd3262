// The transcript is a copy of the last posts on this phone, so that the session can be read where there is no
// connection. It is never the truth: the server's telling replaces it as soon as it comes.

import { later } from './pace.js';

const prefix = 'tallybell.posts.';
const most = 80;

export class Transcript {
  constructor(storage, member) {
    this.storage = storage;
    this.key = prefix + member;
    this.list = [];
    this.told = false; // the server has begun to tell: the kept copy is replaced
    try {
      for (let i = storage.length - 1; i >= 0; i--) {
        const key = storage.key(i);
        if (key && key.startsWith(prefix) && key !== this.key) storage.removeItem(key);
      }
      const kept = JSON.parse(storage.getItem(this.key) || '[]');
      if (Array.isArray(kept)) this.list = kept.filter((p) => p && typeof p.cursor === 'string');
    } catch {
      this.list = [];
    }
  }

  // posts returns the kept copy, in order.
  posts() {
    return this.list.slice();
  }

  // keep adds a post that the server sent; the first one begins the copy anew.
  keep(post) {
    if (!this.told) this.list = [];
    this.told = true;
    if (this.list.some((p) => p.cursor === post.cursor)) return;
    this.list.push(post);
    this.list.sort((a, b) => (a.cursor === b.cursor ? 0 : later(a.cursor, b.cursor) ? 1 : -1));
    while (this.list.length > most) this.list.shift();
    this.write();
  }

  write() {
    while (this.list.length) {
      try {
        this.storage.setItem(this.key, JSON.stringify(this.list));
        return;
      } catch {
        this.list.shift();
      }
    }
  }
}
