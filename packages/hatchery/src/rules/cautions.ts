/** A caution with its source. */
export interface Caution {
  readonly code: keyof typeof CAUTIONS;
  readonly message: string;
  readonly source: string;
}

const CAUTIONS = {
  'fixed-samples': [
    "Lugol's iodine and formalin kill the sample: never pour it back, and do not judge live or dead by it. Ventilate and wear gloves; your local rules come first.",
    '29 CFR 1910.1048 (formaldehyde: 0.75 ppm over 8 h, 2 ppm over 15 min)',
  ],
  'moving-live-animals': [
    'Moving live larvae, seed or broodstock may need a permit, a health certificate, quarantine and treatment of the water. Ask your local authority before anything leaves or comes in.',
    'ICES Code of Practice on the Introductions and Transfers of Marine Organisms 2005; in the EU Regulation (EC) 708/2007',
  ],
  'drugs-for-food-fish': [
    'Oysters and clams are food: use only drugs that are approved for it, as labelled, and log every dose. In the USA anything not on the list of the FDA is unapproved; your local rules come first.',
    'FDA, approved aquaculture drugs; FDA Fish and Fishery Products Hazards and Controls Guidance, chapter 11',
  ],
  'estimate-not-certificate': [
    'An estimate is not a certificate: hand over how it was counted, the volumes, the limits and who confirmed it. Your local rules say what else a buyer must get.',
    'common practice, no source',
  ],
} as const;

/** The caution of a code. */
export function caution(code: keyof typeof CAUTIONS): Caution {
  const [message, source] = CAUTIONS[code];
  return { code, message, source };
}
