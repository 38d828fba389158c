import js from '@eslint/js';
import prettier from 'eslint-config-prettier';
import jsdoc from 'eslint-plugin-jsdoc';
import tseslint from 'typescript-eslint';

const nodeGlobals = Object.fromEntries(
  ['console', 'module', 'performance', 'process', 'URL'].map((name) => [name, 'readonly']),
);

export default tseslint.config(
  { ignores: ['**/dist/', '**/dist-types/', '**/node_modules/', 'coverage/', 'veligrid-out/', '.cache/'] },
  js.configs.recommended,
  {
    files: ['**/*.ts', '**/*.tsx'],
    extends: [tseslint.configs.strictTypeChecked],
    languageOptions: {
      parserOptions: {
        projectService: {
          allowDefaultProject: ['vitest.config.ts', 'apps/web/vite.config.ts', 'apps/cli/vite.config.ts'],
          defaultProject: 'tests/tsconfig.json',
        },
      },
    },
    rules: {
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/explicit-module-boundary-types': 'error',
      '@typescript-eslint/restrict-template-expressions': ['error', { allowNumber: true }],
      '@typescript-eslint/switch-exhaustiveness-check': 'error',
      complexity: ['error', 12],
      eqeqeq: 'error',
      'max-depth': ['error', 4],
      'max-lines': ['error', { max: 300, skipBlankLines: true, skipComments: true }],
      'max-lines-per-function': ['error', { max: 60, skipBlankLines: true, skipComments: true }],
      'max-params': ['error', 4],
      'no-console': 'error',
    },
  },
  {
    files: ['packages/*/src/**/*.ts'],
    plugins: { jsdoc },
    rules: {
      'jsdoc/no-types': 'error',
      'jsdoc/require-jsdoc': ['error', { publicOnly: true, require: { ClassDeclaration: true } }],
    },
  },
  {
    // Only these files may brand what staff stand for; a cast anywhere else would let through what nobody confirmed.
    files: ['packages/*/src/**/*.ts', 'apps/*/src/**/*.ts'],
    ignores: [
      'packages/review/src/confirm.ts',
      'packages/estimation/src/tally.ts',
      'packages/estimation/src/subsamples-of.ts',
    ],
    rules: {
      'no-restricted-syntax': [
        'error',
        {
          selector: 'TSAsExpression TSTypeReference[typeName.name=/^(ConfirmedCount|Tally|SignedLengths)$/]',
          message: 'Only confirm, handTally and their like make what staff stand for.',
        },
      ],
    },
  },
  {
    // Both need array reads checked by the compiler, which is off here: each pixel read would need a `!`.
    files: ['packages/imaging/**/*.ts', 'tests/**/*.ts', 'tools/**/*.ts'],
    rules: { '@typescript-eslint/no-unnecessary-condition': 'off' },
  },
  {
    // Kernels walk row, column and channel, and take their numbers one by one: objects in the inner loop cost time.
    files: ['packages/imaging/src/**/*.ts'],
    rules: { complexity: ['error', 20], 'max-depth': ['error', 5], 'max-params': ['error', 7] },
  },
  {
    // A test reads as one list of cases, and its doubles keep the signature of what they stand for.
    files: ['tests/**/*.ts'],
    rules: { 'max-lines-per-function': 'off', '@typescript-eslint/require-await': 'off' },
  },
  {
    // A test of answers looks at JSON as it came; what it may hold is checked by the schemas that the server answers by.
    files: ['tests/server/**/*.ts'],
    rules: {
      '@typescript-eslint/no-explicit-any': 'off',
      '@typescript-eslint/no-unsafe-assignment': 'off',
      '@typescript-eslint/no-unsafe-argument': 'off',
      '@typescript-eslint/no-unsafe-call': 'off',
      '@typescript-eslint/no-unsafe-member-access': 'off',
      '@typescript-eslint/no-unsafe-return': 'off',
    },
  },
  { files: ['**/*.js', '**/*.mjs', '**/*.cjs'], languageOptions: { globals: nodeGlobals } },
  prettier,
);
