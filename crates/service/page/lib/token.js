// The token of a server that asks for one; kept until the tab is closed.

const PLACE = "leanwright-token";

/** @returns {string | null} */
export const token = () => sessionStorage.getItem(PLACE);

/** @param {string} text */
export const keepToken = (text) => sessionStorage.setItem(PLACE, text);
