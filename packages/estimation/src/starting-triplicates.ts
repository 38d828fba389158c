/**
 * 26 triplicate counts of day-old Pacific oyster D-larvae, each triplicate from one container and of one volume.
 *
 * Source: data of a public larval trial of 2017, RobertsLab/project-oyster-oa on GitHub,
 * data/Manchester/2017-07-30-Pacific-Oyster-Larvae/2018-02-14-Hatch-Rate-Data.csv at commit a4d3a12b, columns "D-Hinge
 * Count 1" to "3", in the order of the file. One row holds halves, as filed.
 */
export const STARTING_TRIPLICATES: readonly (readonly [number, number, number])[] = [
  [68, 96, 103],
  [75, 57, 80],
  [131, 159, 157],
  [132, 72, 91],
  [103, 118, 99],
  [66, 44, 95],
  [95, 107, 118],
  [88, 67, 97],
  [121, 123, 115],
  [73, 42, 55],
  [156, 139, 161],
  [107, 80, 112],
  [136.5, 136.5, 110],
  [78, 92, 70],
  [212, 207, 219],
  [132, 161, 124],
  [124, 137, 135],
  [222, 302, 259],
  [185, 158, 141],
  [168, 155, 175],
  [144, 144, 131],
  [128, 102, 110],
  [145, 141, 137],
  [232, 286, 215],
  [443, 482, 571],
  [185, 173, 170],
];
