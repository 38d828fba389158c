/** A fault as one line of JSON, with the time it happened (ISO 8601). */
export function logLine(at: Date, message: string): string {
  const [first = '', ...stack] = message.split('\n');
  return JSON.stringify({
    at: at.toISOString(),
    level: 'error',
    message: first,
    ...(stack.length > 0 ? { stack: stack.map((line) => line.trim()) } : {}),
  });
}
