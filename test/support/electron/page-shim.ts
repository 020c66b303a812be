/**
 * What a sandboxed preload finds in a page: `require('electron')`, with a bridge that copies as Electron's does. These
 * functions are sent to Chromium as text, so they use nothing from outside themselves.
 */

/** Structured values as text. What JSON would lose keeps a mark: `undefined` matters to a strict schema. */
export function wireFromValue(value: unknown): string {
  const mark = (item: unknown): unknown => {
    if (item === undefined) return ['undefined'];
    if (typeof item === 'number' && !Number.isFinite(item)) return ['number', String(item)];
    if (typeof item !== 'object' || item === null) return ['value', item];
    if (ArrayBuffer.isView(item)) {
      const bytes = new Uint8Array(item.buffer, item.byteOffset, item.byteLength);
      let text = '';
      for (let at = 0; at < bytes.length; at += 8192)
        text += String.fromCharCode(...bytes.subarray(at, at + 8192));
      return ['bytes', btoa(text)];
    }
    if (Array.isArray(item)) return ['array', item.map(mark)];
    return ['object', Object.entries(item).map(([key, each]) => [key, mark(each)])];
  };
  return JSON.stringify(mark(value));
}

export function valueFromWire(text: string): unknown {
  const unmark = ([kind, held]: [string, unknown]): unknown => {
    if (kind === 'undefined') return undefined;
    if (kind === 'number') return Number(held);
    if (kind === 'value') return held;
    if (kind === 'bytes') return Uint8Array.from(atob(held as string), (char) => char.charCodeAt(0));
    if (kind === 'array') return (held as [string, unknown][]).map(unmark);
    return Object.fromEntries(
      (held as [string, [string, unknown]][]).map(([key, each]) => [key, unmark(each)]),
    );
  };
  return unmark(JSON.parse(text));
}

type Listener = (event: object, ...args: unknown[]) => void;

export function runPreload(
  toWire: typeof wireFromValue,
  fromWire: typeof valueFromWire,
  preload: (require: (name: string) => unknown, module: { exports: object }, exports: object) => void,
): void {
  const page = globalThis as unknown as {
    /** Provided by the test: carries a message to main, and its answer back. */
    standInSend(kind: 'send' | 'invoke', wire: string): Promise<{ wire?: string; error?: string }>;
    standInHear(channel: string, wire: string): void;
    standInPaths?: Record<string, string>;
  };
  const listeners = new Map<string, Set<Listener>>();
  const copied = (args: unknown[]): string => toWire(structuredClone(args));

  const ipcRenderer = {
    on(channel: string, listener: Listener) {
      listeners.set(channel, (listeners.get(channel) ?? new Set()).add(listener));
      return ipcRenderer;
    },
    removeListener(channel: string, listener: Listener) {
      listeners.get(channel)?.delete(listener);
      return ipcRenderer;
    },
    send(channel: string, ...args: unknown[]): void {
      void page.standInSend('send', copied([channel, ...args]));
    },
    async invoke(channel: string, ...args: unknown[]): Promise<unknown> {
      const { wire, error } = await page.standInSend('invoke', copied([channel, ...args]));
      if (error !== undefined) throw new Error(`Error invoking remote method '${channel}': ${error}`);
      return fromWire(wire!);
    },
  };
  page.standInHear = (channel, wire) => {
    for (const listener of listeners.get(channel) ?? []) listener({}, ...(fromWire(wire) as unknown[]));
  };

  /** A value on the other side of the bridge: a copy without prototypes; functions and promises are called through. */
  const across = (value: unknown): unknown => {
    if (typeof value === 'symbol') throw new TypeError('Symbols cannot cross the bridge');
    if (typeof value === 'function') return (...args: unknown[]) => across(value(...args.map(across)));
    if (typeof value !== 'object' || value === null || value instanceof Blob) return value;
    if (value instanceof Promise) return value.then(across, (error) => Promise.reject(across(error)));
    if (value instanceof Error) return new Error(value.message);
    if (Array.isArray(value)) return value.map(across);
    if (ArrayBuffer.isView(value) || value instanceof ArrayBuffer) return structuredClone(value);
    return Object.fromEntries(Object.entries(value).map(([key, each]) => [key, across(each)]));
  };
  const frozen = (value: unknown): unknown => {
    if (typeof value === 'object' && value !== null) Object.values(Object.freeze(value)).forEach(frozen);
    return value;
  };
  const contextBridge = {
    exposeInMainWorld(name: string, api: unknown): void {
      if (name in page) throw new Error(`Cannot bind an API on top of an existing property: ${name}`);
      Object.defineProperty(page, name, { value: frozen(across(api)), enumerable: true });
    },
  };
  // A file that the page itself has made lies nowhere.
  const webUtils = { getPathForFile: (file: File): string => page.standInPaths?.[file.name] ?? '' };

  const module = { exports: {} };
  const require = (name: string): unknown => {
    if (name === 'electron') return { contextBridge, ipcRenderer, webUtils };
    throw new Error(`module not found: ${name}`);
  };
  preload(require, module, module.exports);
}

/** The preload as a script that Chromium runs before anything of the page. */
export const preloadScript = (preload: string): string =>
  `(() => { if (self !== top) return; ${wireFromValue}\n${valueFromWire}\n(${runPreload})(wireFromValue, valueFromWire, (require, module, exports) => {\n${preload}\n}); })();`;
