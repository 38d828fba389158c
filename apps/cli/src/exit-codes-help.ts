/** What every command's help says of its exit code. */
export const EXIT_CODES = `
Exit codes: 0 done; 1 a fault of Veligrid; 2 wrong arguments or input; 3 a photo could not be read (the others are
done, the bad one is named); 4 refused by a rule; 5 a result could not be written.`;
