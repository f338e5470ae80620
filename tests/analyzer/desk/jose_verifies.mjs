// An independent library (npm jose) verifies a statement; the digest of the file is computed here anew.
import { compactVerify, importJWK, calculateJwkThumbprint } from "jose";
import { readFileSync } from "node:fs";
import { createHash } from "node:crypto";

const [statement, key, pdf] = process.argv.slice(2);
const jwk = JSON.parse(readFileSync(key, "utf8"));
const slot = readFileSync(statement, "latin1");
const jws = slot.trimEnd();
const { payload, protectedHeader } = await compactVerify(jws, await importJWK(jwk, "EdDSA"));
const said = JSON.parse(new TextDecoder().decode(payload));
const bytes = readFileSync(pdf);
const at = bytes.indexOf(Buffer.from(slot, "latin1"));
const blank = Buffer.concat([bytes.subarray(0, at), Buffer.alloc(slot.length, " "), bytes.subarray(at + slot.length)]);
const digest = createHash("sha256").update(blank).digest("hex");
const right = protectedHeader.alg === "EdDSA" && protectedHeader.kid === (await calculateJwkThumbprint(jwk)) &&
  Object.keys(protectedHeader).length === 3 && said.pdf_sha256 === digest && said.job === "WO-2207" && slot.length - jws.length >= 512;
process.exit(right ? 0 : 1);
