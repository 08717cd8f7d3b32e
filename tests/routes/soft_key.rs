//! A device that makes passkeys and signs with them, as much of one as a server can see (WebAuthn Level 2, sections 6.1,
//! 6.5 and 7; keys of ES256 in COSE, RFC 9053, section 7.1.1).

use base64::Engine;
use base64::prelude::BASE64_URL_SAFE_NO_PAD;
use ring::rand::SystemRandom;
use ring::signature::{ECDSA_P256_SHA256_ASN1_SIGNING, EcdsaKeyPair, KeyPair};
use serde_json::{Value, json};
use sha2::{Digest, Sha256};

/// Somebody touched it.
pub const PRESENT: u8 = 0x01;
/// It made sure who they are.
pub const VERIFIED: u8 = 0x04;
/// A key comes with it.
const WITH_KEY: u8 = 0x40;

pub struct SoftKey {
    pair: EcdsaKeyPair,
    pub id: Vec<u8>,
    handle: String,
    pub counter: u32,
    pub flags: u8,
    pub origin: &'static str,
    rp: String,
}

fn written(bytes: impl AsRef<[u8]>) -> String {
    BASE64_URL_SAFE_NO_PAD.encode(bytes)
}

impl SoftKey {
    /// A key for whomever the question is about.
    pub fn new(question: &Value) -> Self {
        let random = SystemRandom::new();
        let stored = EcdsaKeyPair::generate_pkcs8(&ECDSA_P256_SHA256_ASN1_SIGNING, &random).unwrap();
        let pair = EcdsaKeyPair::from_pkcs8(&ECDSA_P256_SHA256_ASN1_SIGNING, stored.as_ref(), &random).unwrap();
        Self {
            id: Sha256::digest(stored.as_ref())[..20].to_vec(),
            pair,
            handle: question["user"]["id"].as_str().unwrap().to_owned(),
            counter: 1,
            flags: PRESENT | VERIFIED,
            origin: "http://localhost:8420",
            rp: question["rp"]["id"].as_str().unwrap().to_owned(),
        }
    }

    fn client_data(&self, what: &str, question: &Value) -> Vec<u8> {
        let said = json!({ "type": what, "challenge": question["challenge"], "origin": self.origin, "crossOrigin": false });
        said.to_string().into_bytes()
    }

    fn data(&self, flags: u8) -> Vec<u8> {
        let mut data = Sha256::digest(&self.rp).to_vec();
        data.push(flags);
        data.extend(self.counter.to_be_bytes());
        data
    }

    /// The answer to "make a passkey".
    pub fn made(&self, question: &Value) -> String {
        let mut data = self.data(self.flags | WITH_KEY);
        data.extend([0; 16]);
        data.extend(u16::try_from(self.id.len()).unwrap().to_be_bytes());
        data.extend(&self.id);
        // {1: 2 (EC2), 3: -7 (ES256), -1: 1 (P-256), -2: x, -3: y}
        let point = self.pair.public_key().as_ref();
        data.extend([0xa5, 0x01, 0x02, 0x03, 0x26, 0x20, 0x01, 0x21, 0x58, 0x20]);
        data.extend(&point[1..33]);
        data.extend([0x22, 0x58, 0x20]);
        data.extend(&point[33..65]);
        let mut object = b"\xa3\x63fmt\x64none\x67attStmt\xa0\x68authData\x58".to_vec();
        object.push(u8::try_from(data.len()).unwrap());
        object.extend(data);
        let client = self.client_data("webauthn.create", question);
        json!({
            "id": written(&self.id), "rawId": written(&self.id), "type": "public-key",
            "response": { "clientDataJSON": written(client), "attestationObject": written(object) },
        })
        .to_string()
    }

    /// The answer to "who are you"; the device counts it.
    pub fn signs(&mut self, question: &Value) -> String {
        self.counter += 1;
        self.signs_again(question)
    }

    /// The same without counting, as a copy would.
    pub fn signs_again(&self, question: &Value) -> String {
        let data = self.data(self.flags);
        let client = self.client_data("webauthn.get", question);
        let signed = [data.as_slice(), &Sha256::digest(&client)].concat();
        let signature = self.pair.sign(&SystemRandom::new(), &signed).unwrap();
        json!({
            "id": written(&self.id), "rawId": written(&self.id), "type": "public-key",
            "response": {
                "clientDataJSON": written(client), "authenticatorData": written(data), "signature": written(signature),
                "userHandle": self.handle,
            },
        })
        .to_string()
    }
}
