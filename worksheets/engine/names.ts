/** One word in two spellings: `front_left` on a sheet is `frontLeft` in calc, `peak_1` is `peak1`. */
export const toCamel = (name: string): string => name.replace(/_([a-z0-9])/g, (_, letter: string) => letter.toUpperCase());
export const toSnake = (name: string): string => name.replace(/[A-Z]|\d+/g, (part) => `_${part.toLowerCase()}`);
