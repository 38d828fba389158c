export { TOKEN_SCOPES } from './access-contract.js';
export type { AccessParts, AccessTokenFields, SignInEventFields, TokenScope } from './access-contract.js';
export { ROLES } from './contract.js';
export type {
  Appended,
  BatchFields,
  CalibrationFields,
  Change,
  DecisionEntry,
  DecisionFields,
  DecisionLog,
  DetectionsFields,
  DetectionsLog,
  Entered,
  EstimateFields,
  EstimateLog,
  Files,
  FillingFields,
  Flaw,
  Job,
  JobHold,
  JobState,
  JobTable,
  Json,
  JsonObject,
  Kept,
  MicroscopeFields,
  OpenSample,
  Parts,
  PhotoFields,
  Records,
  Role,
  RulesFields,
  RulesLog,
  Said,
  SampleFields,
  SampleOverview,
  StandingSample,
  Settings,
  SignIn,
  SignOffEntry,
  SignOffFields,
  SignOffLog,
  StaffFields,
  Store,
  StoredFile,
  TankFields,
} from './contract.js';
export { diskReason } from './files/disk-failure.js';
export { machineDisk, type Disk } from './files/disk.js';
export { exportStore, type ExportOptions } from './exchange/export-store.js';
export { importStore } from './exchange/import-store.js';
export type { OpenOptions } from './open-database.js';
export type { PlanEntry, PlanFields, PlanLog } from './plan-contract.js';
export type { SeasonEntry, SeasonLog, SeasonParts, SeasonVersion } from './season-contract.js';
export { moveStore, type Moved, type MoveOptions } from './move/move-store.js';
export { openStore } from './open-store.js';
export { placeFromEnvironment, readDatabaseFile } from './place/read-place.js';
export type { BucketPlace, DatabasePlace, StorePlace } from './place/store-place.js';
export { restoreStore } from './restore.js';
export { backupNames, rotateBackups, type Rotation } from './upkeep/rotate-backups.js';
export { rehearseRestore } from './upkeep/rehearse-restore.js';
export { storageUse, type StorageUse } from './upkeep/storage-use.js';
