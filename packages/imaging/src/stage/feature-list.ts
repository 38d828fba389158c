/** A feature by which stages are judged: what it means in plain words, its unit (empty for none) and its usual range. */
export interface Feature {
  readonly name: string;
  readonly words: string;
  readonly unit: string;
  readonly range: string;
  /** File below features/ that makes it and tells it in full. */
  readonly file: string;
}

const TABLE = `
outline-shape.ts
ln_length|length, ln of um|ln um|2..7
ln_diameter|diameter of the circle of equal area, ln of um|ln um|2..7
aspect|height over length||0.2..2
feret_ratio|least over greatest width||0..1
unsolid|notches in the outline, ln(1 - solidity)||-7..0
uncircular|difference to a circle, ln(1 - circularity)||-7..0
fullness|area over length times height||0.4..1
hinge_share|longest straight edge over greatest width||0..1
blur|rise of the rim over the length, ln||-6..0
rim_contrast|contrast of the rim over the noise, ln||0..7
lobes.ts
lobes_2|outline in two lobes||0..0.5
lobes_3|outline in three lobes||0..0.5
lobes_4|outline in four lobes||0..0.5
lobes_5|outline in five lobes||0..0.5
lobes_6|outline in six lobes||0..0.5
umbo.ts
rise_flat|rise of the flatter long side (0: straight hinge; more: umbo)|lengths|-0.2..0.5
rise_round|rise of the rounder long side|lengths|-0.2..0.5
body-density.ts
darkness_inside|darkness of the body|optical density|-3..5
darkness_rim|darkness of the rim|optical density|-3..5
rim_over_inside|rim darker than the body|optical density|-5..5
darkness_core|middle darker than the body around|optical density|-5..5
halo|darkness just outside the rim|optical density|-3..5
radial-profile.ts
profile_1|darkness of the innermost quarter against the body||-1..5
profile_2|darkness of the second quarter against the body||-1..5
profile_3|darkness half way out against the body||-1..5
profile_4|darkness of the outer part against the body||-1..5
profile_5|darkness inside the rim against the body||-1..5
dark_share|share of the body that is dark||0..1
texture.ts
granularity|granules||0..5
patchiness|unevenness of the body||0..5
furrows_1|one side darker||0..2
furrows_2|two furrows||0..2
furrows_3|three furrows||0..2
furrows_4|four furrows||0..2
furrows_many|many furrows||0..2
pale-spot.ts
pale_spot|round pale spot (germinal vesicle)||-1..2
bleb.ts
bleb|small thing on the rim (polar body)|optical density|0..2
bleb_over_noise|small thing on the rim over the noise, ln||0..7
bleb_second|a second thing on the rim||0..1
bleb_width|width of what stands on the rim|shares of the rim|0..1
fringe|things around the object (cilia, velum), ln over noise||0..7
fringe_side|things on one side (velum, foot), ln over noise||0..7
gut-colour.ts
warmth_inside|brownness of the body|optical density|-2..2
gut_darkness|darkest part against the body (gut)|optical density|0..3
gut_warmth|brownness of the darkest part|optical density|-2..2
eye-spot.ts
eye_contrast|darkest small spot against its ring (eye spot)|ln of luma|0..4
eye_darkness|darkest small spot against the middle part|ln of luma|0..5
eye_offset|distance of that spot from the middle|lengths|0..0.4
eye_diameter|width of that spot|lengths|0..0.1
eye_diameter_um|width of that spot|um|0..40
finder-opinion.ts
saw_egg_unfertilised|the finder's network saw an unfertilised egg|ln of probability|-7..0
saw_egg_fertilised|the finder's network saw a fertilised egg|ln of probability|-7..0
saw_two_cell|the finder's network saw two cells|ln of probability|-7..0
saw_four_cell|the finder's network saw four cells|ln of probability|-7..0
saw_morula|the finder's network saw a morula|ln of probability|-7..0
saw_blastula|the finder's network saw a blastula|ln of probability|-7..0
saw_gastrula|the finder's network saw a gastrula|ln of probability|-7..0
saw_trochophore|the finder's network saw a trochophore|ln of probability|-7..0
saw_d_hinge|the finder's network saw a straight-hinge larva|ln of probability|-7..0
saw_early_umbo|the finder's network saw an early umbo larva|ln of probability|-7..0
saw_umbo|the finder's network saw an umbo larva|ln of probability|-7..0
saw_eyed|the finder's network saw an eyed larva|ln of probability|-7..0
saw_empty_shell|the finder's network saw an empty shell|ln of probability|-7..0
saw_dead|the finder's network saw a dead larva|ln of probability|-7..0
`;

function readTable(table: string): Feature[] {
  let file = '';
  const features: Feature[] = [];
  for (const line of table.trim().split('\n')) {
    const [name = '', words, unit = '', range = ''] = line.split('|');
    if (words === undefined) file = name;
    else features.push({ name, words, unit, range, file });
  }
  return features;
}

/** All features in the order of the rules. */
export const FEATURES: readonly Feature[] = readTable(TABLE);
