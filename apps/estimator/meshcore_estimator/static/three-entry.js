// What the viewer of models needs of three.js; three.js beside this file is made of it.
export {
  AmbientLight, BackSide, Box3, Color, DirectionalLight, FrontSide, HemisphereLight, MathUtils, Mesh,
  MeshBasicMaterial, MeshStandardMaterial, OrthographicCamera, Plane, Scene, Vector3, WebGLRenderer,
} from 'three';
export { GLTFLoader } from 'three/addons/loaders/GLTFLoader.js';
