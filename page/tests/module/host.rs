//! A host for the module: what a browser does with it.

use std::io::Read;

use flate2::read::GzDecoder;
use wasmi::{Engine, Instance, Linker, Memory, Module, Store, TypedFunc, WasmParams, WasmResults};

/// The module as it is kept.
pub const PACKED: &[u8] = include_bytes!("../../module/tepid.wasm.gz");

/// Unpacks it.
pub fn unpacked() -> Vec<u8> {
    let mut bytes = Vec::new();
    GzDecoder::new(PACKED)
        .read_to_end(&mut bytes)
        .expect("packed with gzip");
    bytes
}

/// A module that answers.
pub struct Host {
    store: Store<()>,
    instance: Instance,
    memory: Memory,
}

impl Host {
    /// The kept module, instantiated with nothing from outside.
    pub fn new() -> Self {
        let engine = Engine::default();
        let module = Module::new(&engine, unpacked()).expect("a module");
        assert_eq!(module.imports().count(), 0, "it asks for nothing");
        let mut store = Store::new(&engine, ());
        let instance = Linker::new(&engine)
            .instantiate_and_start(&mut store, &module)
            .expect("instantiates");
        let memory = instance.get_memory(&store, "memory").expect("memory");
        Self {
            store,
            instance,
            memory,
        }
    }

    fn call<P: WasmParams, R: WasmResults>(&mut self, name: &str, of: P) -> R {
        let function: TypedFunc<P, R> = self.instance.get_typed_func(&self.store, name).expect(name);
        function.call(&mut self.store, of).expect(name)
    }

    /// Asks it.
    pub fn ask(&mut self, question: &str) -> String {
        let length = u32::try_from(question.len()).expect("short");
        let at: u32 = self.call("space", length);
        let memory = self.memory;
        memory
            .write(&mut self.store, at as usize, question.as_bytes())
            .expect("space for it");
        let length: u32 = self.call("ask", ());
        let at: u32 = self.call("answer_at", ());
        let mut answer = vec![0; length as usize];
        self.memory
            .read(&self.store, at as usize, &mut answer)
            .expect("an answer");
        String::from_utf8(answer).expect("text")
    }

    /// So many numbers of the course of a run.
    pub fn course(&mut self, run: u32, count: usize) -> Vec<f64> {
        let at: u32 = self.call("course_at", run);
        let mut bytes = vec![0; count * 8];
        self.memory
            .read(&self.store, at as usize, &mut bytes)
            .expect("a course");
        let numbers = bytes.chunks_exact(8);
        numbers
            .map(|eight| f64::from_le_bytes(eight.try_into().expect("eight")))
            .collect()
    }
}
