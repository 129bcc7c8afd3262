// The wire is the WebSocket and its comings and goings: it connects, waits with jitter, comes back with the last cursor,
// and hands every frame on. It knows nothing of what frames mean.

import { waitAfterClose } from './pace.js';

const patience = 20000; // ms without an answer to something sent, after which the connection is taken for dead
const asleep = 45000; // ms hidden, after which a connection is not trusted on waking

export class Wire {
  // url ends in a query. on has: frame(object), state('connecting'|'open'|'waiting'|'refused'), since() -> cursor or null,
  // allowed() -> promise of false when the server no longer knows this phone.
  constructor(url, on) {
    this.url = url;
    this.on = on;
    this.socket = null;
    this.tries = 0;
    this.timer = 0;
    this.deadline = 0;
    this.hiddenAt = 0;
    this.stopped = true;
    addEventListener('online', () => this.hurry());
    addEventListener('offline', () => this.drop());
    document.addEventListener('visibilitychange', () => this.woken());
  }

  start() {
    this.stopped = false;
    this.connect();
  }

  stop() {
    this.stopped = true;
    clearTimeout(this.timer);
    this.drop();
  }

  open() {
    return this.socket !== null && this.socket.readyState === WebSocket.OPEN;
  }

  // send returns false when there is no open connection. expect says that an answer should come.
  send(frame, expect) {
    if (!this.open()) return false;
    this.socket.send(JSON.stringify(frame));
    if (expect && !this.deadline) this.deadline = setTimeout(() => this.drop(), patience);
    return true;
  }

  answered() {
    clearTimeout(this.deadline);
    this.deadline = 0;
  }

  connect() {
    clearTimeout(this.timer);
    if (this.stopped || this.socket) return;
    this.on.state('connecting');
    const since = this.on.since();
    const url = since === null ? this.url : this.url + '&since=' + encodeURIComponent(since);
    const socket = new WebSocket(url, 'tallybell.v1');
    this.socket = socket;
    let opened = false;
    socket.onopen = () => {
      opened = true;
      this.on.state('open');
    };
    socket.onmessage = (event) => {
      if (socket !== this.socket) return;
      let frame;
      try {
        frame = JSON.parse(event.data);
      } catch {
        return;
      }
      if (frame.type === 'welcome') this.tries = 0;
      this.on.frame(frame);
    };
    socket.onclose = (event) => {
      if (socket === this.socket) this.closed(event.code, opened);
    };
  }

  async closed(code, opened) {
    this.socket = null;
    this.answered();
    if (this.stopped) return;
    if (code === 1008 || !opened) {
      if ((await this.on.allowed()) === false) {
        this.stopped = true;
        this.on.state('refused');
        return;
      }
    }
    if (this.stopped || this.socket) return;
    this.on.state('waiting');
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.connect(), waitAfterClose(code, this.tries++, Math.random()));
  }

  // drop gives the connection up at once; the browser may take long to notice that it is dead.
  drop() {
    const socket = this.socket;
    if (!socket) return;
    socket.onclose = null;
    socket.onmessage = null;
    socket.close();
    this.closed(1006, true);
  }

  hurry() {
    if (this.stopped || this.open()) return;
    this.tries = 0;
    clearTimeout(this.timer);
    this.connect();
  }

  woken() {
    if (document.visibilityState === 'hidden') {
      this.hiddenAt = Date.now();
      return;
    }
    if (this.hiddenAt && Date.now() - this.hiddenAt > asleep) this.drop();
    this.hurry();
  }
}
