/**
 * @typedef {{ version?: string, optional?: boolean, peer?: boolean }} LockEntry
 * @typedef {{ packages?: Record<string, LockEntry> }} Lock
 */

/**
 * Packages that the lockfile wants and that are not installed in that version. Optional ones are left out: most belong
 * to another platform.
 *
 * @param {Lock} wanted package-lock.json
 * @param {Lock} installed node_modules/.package-lock.json, which npm writes last
 * @param {(path: string) => boolean} isThere whether a folder is there, as the list above outlives a deleted one
 * @returns {string[]} paths such as `node_modules/sharp`
 */
export function missingPackages(wanted, installed, isThere) {
  const listed = installed.packages ?? {};
  return Object.entries(wanted.packages ?? {})
    .filter(([path, entry]) => path.includes('node_modules/') && !entry.optional && !entry.peer)
    .filter(([path, entry]) => !listed[path] || listed[path].version !== entry.version || !isThere(path))
    .map(([path]) => path);
}
