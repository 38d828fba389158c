import type { Field } from './fields.js';

/** A file of the export as its description says it. */
export interface Resource {
  readonly name: string;
  readonly path: string;
  readonly description: string;
  readonly fields: readonly Field[];
  readonly key: readonly string[];
}

/** What is told of an export besides its tables. */
export interface Made {
  /** ISO 8601 UTC. */
  readonly created: string;
  /** Steps of the schema that the store had seen. */
  readonly steps: readonly string[];
  /** Whether the pictures went along. */
  readonly withPictures: boolean;
}

/** `datapackage.json`: Frictionless Tabular Data Package 1 (specs.frictionlessdata.io/tabular-data-package). */
export const dataPackage = (resources: readonly Resource[], { created, steps, withPictures }: Made): object => ({
  profile: 'tabular-data-package',
  name: 'veligrid-export',
  title: 'Everything a Veligrid store keeps',
  description: `${withPictures ? 'Pictures are in the folder pictures, by the SHA-256 of their content.' : 'The pictures were left out.'} Units stand in the names of columns.`,
  created,
  steps,
  resources: resources.map(({ name, path, description, fields, key }) => ({
    profile: 'tabular-data-resource',
    name,
    path,
    description,
    format: 'csv',
    mediatype: 'text/csv',
    encoding: 'utf-8',
    schema: { fields, missingValues: [''], primaryKey: key },
  })),
});
