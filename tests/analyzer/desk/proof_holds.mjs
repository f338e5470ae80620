// Follows a proof to the root by RFC 9162, 2.1.3.2, with node's own SHA-256.
import { readFileSync } from "node:fs";
import { createHash } from "node:crypto";

const proof = JSON.parse(readFileSync(process.argv[2], "utf8"));
const head = JSON.parse(process.argv[3]);
const hash = (...parts) => createHash("sha256").update(Buffer.concat(parts)).digest();
let root = hash(Buffer.from([0]), Buffer.from(proof.leaf, "utf8"));
let fn = proof.index, sn = proof.size - 1;
for (const step of proof.path) {
  const beside = Buffer.from(step, "hex");
  if (fn % 2 === 1 || fn === sn) {
    root = hash(Buffer.from([1]), beside, root);
    while (fn % 2 === 0 && fn !== 0) [fn, sn] = [fn / 2, Math.floor(sn / 2)];
  } else {
    root = hash(Buffer.from([1]), root, beside);
  }
  [fn, sn] = [Math.floor(fn / 2), Math.floor(sn / 2)];
}
process.exit(sn === 0 && proof.size === head.size && root.toString("hex") === head.root ? 0 : 1);
