import { describe, expect, it } from 'vitest';
import { algaOf, loadFiguresOrCommon } from '@veligrid/season';

describe('the alga that a culture is of', async () => {
  const book = await loadFiguresOrCommon('eastern-oyster');
  it.each([
    ['Tisochrysis lutea', 't-iso'],
    ['T-Iso', 't-iso'],
    // Tisochrysis lutea was split from Isochrysis aff. galbana, and Diacronema lutheri was Pavlova lutheri (Bendif et al.
    // 2013 and 2011, from memory)
    ['Isochrysis aff. galbana', 't-iso'],
    ['Isochrysis galbana', 'isochrysis-galbana'],
    ['Diacronema lutheri', 'pavlova-lutheri'],
    ['Chaetoceros muelleri, strain 10', 'chaetoceros-muelleri'],
    ['Chaetoceros mülleri', 'chaetoceros-muelleri'],
  ])('%s is %s', (name, alga) => {
    expect(algaOf(name, book)).toBe(alga);
  });
  it.each(['Chaetoceros', 'Nannochloropsis oculata', ''])('%s is none, rather than a guess', (name) => {
    expect(algaOf(name, book)).toBeNull();
  });
});
