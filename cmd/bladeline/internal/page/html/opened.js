export async function open(file) { throw new Error(`${file.name} cannot be opened here.`); }
