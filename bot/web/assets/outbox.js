// The outbox keeps what a member typed until the server has answered it. It lives in localStorage, one list a member,
// so that a reload, a flat battery or a dead connection loses nothing and nobody's words go out under another's name.

import { randomKey } from './pace.js';

const prefix = 'tallybell.outbox.';

export class Outbox {
  // storage has getItem, setItem and removeItem; member is the id whose words these are.
  constructor(storage, member) {
    this.storage = storage;
    this.key = prefix + member;
    this.kept = []; // used when the storage refuses (private windows, full disks)
  }

  // items returns what waits, oldest first: {id, text, at, tried, held}.
  items() {
    try {
      const list = JSON.parse(this.storage.getItem(this.key) || '[]');
      return Array.isArray(list) ? list.concat(this.kept) : this.kept.slice();
    } catch {
      return this.kept.slice();
    }
  }

  // add queues text and returns its item. saved tells whether it will survive a reload.
  add(text, now) {
    const item = { id: randomKey(18), text, at: now.toISOString(), tried: false, held: '' };
    const list = this.items();
    list.push(item);
    item.saved = this.write(list);
    return item;
  }

  // next returns the item to send now, or null: the oldest that is not held back by a problem.
  next() {
    return this.items().find((i) => !i.held) || null;
  }

  // mark changes fields of the item with that id.
  mark(id, fields) {
    this.write(this.items().map((i) => (i.id === id ? { ...i, ...fields } : i)));
  }

  // remove takes the item with that id out, and returns it, or null.
  remove(id) {
    const list = this.items();
    const item = list.find((i) => i.id === id) || null;
    if (item) this.write(list.filter((i) => i.id !== id));
    return item;
  }

  write(list) {
    try {
      if (list.length === 0) this.storage.removeItem(this.key);
      else this.storage.setItem(this.key, JSON.stringify(list));
      this.kept = [];
      return true;
    } catch {
      let stored = [];
      try {
        stored = JSON.parse(this.storage.getItem(this.key) || '[]').map((i) => i.id);
      } catch {
        stored = [];
      }
      this.kept = list.filter((i) => !stored.includes(i.id));
      return false;
    }
  }
}
