// Whether keys come from a person or from an instrument that types: told by their times alone.
// Generated bursts have medians of 3 to 20 ms with single gaps up to 52 ms; quick typists need about 120 ms a key.

const MEDIAN = 30;
const GAP = 150;
const END = 250;
/// Some instruments end with two keys; what follows the end this soon belongs to it.
const TAIL = 60;
/// Keys between the characters of a burst (scanners send control characters as F or Ctrl keys).
const WITHIN = 30;

const isFigure = text => /^[-+−\d.,\s]+$/.test(text);
const median = gaps => [...gaps].sort((a, b) => a - b)[Math.floor(gaps.length / 2)] ?? 0;

export class Burst {
  /// `begins` is called before the first key of what may be a burst acts.
  constructor(begins) {
    Object.assign(this, { begins, text: '', gaps: [], last: -Infinity, ended: -Infinity });
  }

  get fast() { return this.gaps.length > 0 && median(this.gaps) <= MEDIAN; }

  reset() { this.text = ''; this.gaps = []; }

  /// Takes a key. Returns `swallow` for one that belongs to a burst and must not act, the text of a burst that has
  /// ended, or nothing.
  key({ key, timeStamp, repeat, isComposing, isTrusted, ctrlKey, altKey, metaKey }) {
    if (['Shift', 'Control', 'Alt', 'Meta'].includes(key)) return null;
    const gap = timeStamp - this.last;
    if (!isTrusted || repeat || isComposing || gap < 0) { this.reset(); this.last = timeStamp; return null; }
    const ends = key === 'Enter' || key === 'Tab';
    if (timeStamp - this.ended <= TAIL && (ends || ctrlKey || key.length > 1)) return { swallow: true };
    if (key.length === 1 && !ctrlKey && !altKey && !metaKey) {
      if (this.text === '' || gap > GAP) { this.reset(); this.begins(); } else this.gaps.push(gap);
      this.text += key;
      this.last = timeStamp;
      return null;
    }
    if (ends && gap <= END && this.isArrival()) {
      const { text } = this;
      this.reset();
      this.ended = timeStamp;
      return { arrived: text.trim() };
    }
    if (!ends && this.fast && this.gaps.length > 1 && gap <= WITHIN) return { swallow: true };
    this.reset();
    this.last = timeStamp;
    return null;
  }

  isArrival() {
    return this.text.length >= (isFigure(this.text) ? 3 : 4) && this.fast;
  }
}
