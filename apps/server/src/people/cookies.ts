import type { CookieOptions, Request, Response } from 'express';

/** Cookie with the token of a sign-in, and the one with the name of who is at the microscope. */
export const SIGN_IN = 'veligrid';
export const AT_MICROSCOPE = 'veligrid-name';

/** One cookie of a request, or null (RFC 6265, 4.2). */
export function readCookie(req: Request, name: string): string | null {
  for (const part of (req.get('Cookie') ?? '').split(';')) {
    const [key = '', ...value] = part.split('=');
    if (key.trim() !== name) continue;
    try {
      return decodeURIComponent(value.join('=').trim());
    } catch {
      return null;
    }
  }
  return null;
}

/** Sets a cookie that scripts can't read and other sites can't send; null removes it. */
export function setCookie(
  res: Response,
  name: string,
  value: string | null,
  { secure, maxAgeMs }: { readonly secure: boolean; readonly maxAgeMs: number },
): void {
  const options: CookieOptions = { httpOnly: true, sameSite: 'strict', path: '/', secure };
  if (value === null) res.clearCookie(name, options);
  else res.cookie(name, value, { ...options, maxAge: maxAgeMs });
}
