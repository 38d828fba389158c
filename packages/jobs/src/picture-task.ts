import type { PhotoPage } from '@veligrid/imaging';

/** What is to be done with a picture file; plain data. */
export type PictureTask =
  | { readonly act: 'inspect'; readonly path: string; readonly name: string; readonly maxPixels: number }
  | { readonly act: 'preview'; readonly path: string; readonly page: number; readonly to: string }
  | { readonly act: 'pyramid'; readonly path: string; readonly page: number; readonly folder: string };

/** What came of it; plain data, as an error loses its class between processes. */
export type PictureAnswer =
  | { readonly kind: 'pages'; readonly pages: readonly PhotoPage[] }
  | { readonly kind: 'made' }
  | { readonly kind: 'refused'; readonly reason: string };
