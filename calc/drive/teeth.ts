/** Teeth that a gear of such a truck can have. Common practice, no source: fewer do not mesh smoothly, more do not fit. */
export const FEWEST_TEETH = 5;
export const MOST_TEETH = 150;
