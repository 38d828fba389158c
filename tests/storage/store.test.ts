import { openStore } from '@veligrid/storage';
import { newFolder } from './examples.js';
import { storeContract } from './store-contract.js';

storeContract('a store in one folder', () => {
  const folder = newFolder();
  return (options) => openStore(folder, options);
});
