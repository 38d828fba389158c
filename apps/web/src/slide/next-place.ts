/** Where an arrow key leads from a place in the list. */
export function nextPlace(key: string, at: number, length: number): number | null {
  if (length === 0) return null;
  const clamp = (to: number): number => Math.min(length - 1, Math.max(0, to));
  switch (key) {
    case 'ArrowDown':
      return clamp(at + 1);
    case 'ArrowUp':
      return clamp(at - 1);
    case 'PageDown':
      return clamp(at + 10);
    case 'PageUp':
      return clamp(at - 10);
    case 'Home':
      return 0;
    case 'End':
      return length - 1;
    default:
      return null;
  }
}
