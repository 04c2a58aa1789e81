/**
 * The outcome of work that cannot itself be stopped, or the signal's reason as soon as it is given;
 * an outcome that comes too late goes to `discard`.
 */
export function unlessAborted<T>(
  work: Promise<T>,
  signal: AbortSignal | undefined,
  discard: (late: T) => void,
): Promise<T> {
  if (!signal) return work;
  return new Promise<T>((resolve, reject) => {
    const stop = () => {
      reject(signal.reason);
      work.then(discard, () => undefined);
    };
    if (signal.aborted) return stop();
    signal.addEventListener('abort', stop, { once: true });
    work.then(resolve, reject).finally(() => signal.removeEventListener('abort', stop));
  });
}
