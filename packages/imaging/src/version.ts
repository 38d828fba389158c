/** Name of the method in every count. */
export const METHOD_NAME = 'veligrid-imaging';
/** Version of the chain from picture to measures; rises whenever a result can change. */
export const METHOD_VERSION = '0.1.0';
